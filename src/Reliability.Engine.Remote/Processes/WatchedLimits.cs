using System.Diagnostics;

namespace Reliability.Engine.Remote.Processes;

/// <summary>
/// Limits without the system's help: memory and processor time are read some times a second; processes over their memory must end,
/// and those over their share of processors are stopped and go on in turns. Between two looks memory can overshoot by what a process can
/// fill in that time.
/// </summary>
/// <param name="leader">The process, leader of its session.</param>
/// <param name="settings">The limits.</param>
internal sealed class WatchedLimits(int leader, RemotePlugInSettings settings) : IProcessLimits
{
    // All processes of the session are looked for less often than the one that was started.
    private const int LooksPerSession = 10;

    private readonly CpuBudget _budget = new(settings.CpuLimit);
    private GroupUse _others;
    private double _used;
    private long _looked = Stopwatch.GetTimestamp();
    private int _looks;
    private bool _isHeld;

    public string Means => "memory and processor time watched (no cgroup could be made)";

    public string? Check()
    {
        var own = GroupUse.Of(leader);
        if (_looks++ % LooksPerSession == 0)
        {
            var all = GroupUse.OfSession(leader);
            _others = new(Math.Max(0, all.Bytes - own.Bytes), Math.Max(0, all.CpuSeconds - own.CpuSeconds));
        }

        if (own.Bytes + _others.Bytes > settings.MemoryLimit)
            return Reasons.OverMemory(settings.MemoryLimit);
        var (now, used) = (Stopwatch.GetTimestamp(), own.CpuSeconds + _others.CpuSeconds);
        _budget.Pass(Stopwatch.GetElapsedTime(_looked, now).TotalSeconds, used - _used);
        (_looked, _used) = (now, used);
        if (_budget.IsOverdrawn != _isHeld)
        {
            _isHeld = _budget.IsOverdrawn;
            var signal = _isHeld ? Native.Stop : Native.Continue;
            Native.SignalGroup(leader, signal);

            // Those that made process groups of their own in the session, too.
            foreach (var process in GroupUse.Running(leader))
                Native.SignalProcess(process, signal);
        }

        return null;
    }

    public string? EndedBy() => null;

    public void Dispose()
    {
    }
}
