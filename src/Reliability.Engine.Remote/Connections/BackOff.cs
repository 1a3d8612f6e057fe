namespace Reliability.Engine.Remote.Connections;

/// <summary>How long to wait before a plug-in is started again: twice as long each time it fails, up to a minute; from the beginning
/// when it had served for half a minute, or was ended for one caller after it had answered others.</summary>
internal sealed class BackOff
{
    private static readonly TimeSpan First = TimeSpan.FromMilliseconds(100), Longest = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan Proven = TimeSpan.FromSeconds(30);

    private TimeSpan _next = First;

    /// <summary>Has the next wait be the first one again.</summary>
    public void Restart() => _next = First;

    /// <summary>The wait after a failure.</summary>
    /// <param name="served">How long it had served before.</param>
    public TimeSpan After(TimeSpan served)
    {
        if (served >= Proven)
            Restart();
        var wait = _next;
        _next = wait * 2 < Longest ? wait * 2 : Longest;
        return wait;
    }
}
