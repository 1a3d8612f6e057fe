namespace Reliability.PlugIns.Hostile;

/// <summary>Who it is, and what it does wrong.</summary>
internal sealed record Vice(string Id, string Name);
