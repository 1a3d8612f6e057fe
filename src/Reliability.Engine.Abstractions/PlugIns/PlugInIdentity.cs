namespace Reliability.Engine.Abstractions;

/// <summary>Which plug-in a life model comes from.</summary>
/// <param name="Id">Id of the plug-in.</param>
/// <param name="Version">Its version.</param>
/// <param name="Publisher">Who answers for it.</param>
/// <param name="Hash">What its files were when it was loaded, as <c>sha256:</c> with 64 hexadecimal digits; empty for what ships with the engine, and
/// where the files are not the engine's to see.</param>
public sealed record PlugInIdentity(string Id, string Version, string Publisher, string Hash);
