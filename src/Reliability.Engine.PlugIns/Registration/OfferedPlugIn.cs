using Reliability.Engine.Abstractions;

namespace Reliability.Engine.PlugIns;

/// <summary>A plug-in that was loaded, or connected to, and asks to be taken in.</summary>
/// <param name="Place">Where it comes from, for the operator: the name of its folder, or of its entry in the configuration.</param>
/// <param name="PlugIn">The plug-in.</param>
/// <param name="Hash">What its files are, as <c>sha256:</c> and 64 hexadecimal digits; empty where nobody can know.</param>
public sealed record OfferedPlugIn(string Place, ILifeModelPlugIn PlugIn, string Hash);
