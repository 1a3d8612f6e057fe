namespace Reliability.Engine.PlugIns;

/// <summary>A plug-in that is not used.</summary>
/// <param name="Place">Where it lies: the name of its folder, or of its entry in the configuration.</param>
/// <param name="Reason">Why, in one or two plain sentences.</param>
public sealed record RefusedPlugIn(string Place, string Reason);
