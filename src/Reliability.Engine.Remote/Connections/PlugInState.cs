namespace Reliability.Engine.Remote.Connections;

/// <summary>Where a plug-in stands.</summary>
/// <param name="Session">The session to call through; null when there is none.</param>
/// <param name="Reason">Why there is none; null while it is being started for the first time.</param>
/// <param name="NextTry">When it is tried again, as a timestamp of the system's clock of intervals; 0 while it is being started.</param>
internal sealed record PlugInState(RemoteSession? Session, string? Reason, long NextTry)
{
    /// <summary>The session, if it is well.</summary>
    public RemoteSession? Usable => Session is { Reason: null } ? Session : null;

    /// <summary>Why there is none that is.</summary>
    public string? Trouble => Session?.Reason ?? Reason;
}
