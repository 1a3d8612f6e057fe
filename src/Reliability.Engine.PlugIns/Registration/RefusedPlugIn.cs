namespace Reliability.Engine.PlugIns;

/// <summary>A plug-in that is not used.</summary>
/// <param name="Place">Where it lies: the name of its folder, or of its entry in the configuration.</param>
/// <param name="Reason">Why, in one or two plain sentences for whoever asks: no path, no text of the plug-in's own.</param>
public sealed record RefusedPlugIn(string Place, string Reason)
{
    /// <summary>What was thrown, for the log alone: its text may hold paths; null where nothing was.</summary>
    public Exception? Cause { get; init; }
}
