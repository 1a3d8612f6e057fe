using Reliability.V1;

namespace Reliability.Cli.Fits;

/// <summary>A fit with the name of the lives it is of.</summary>
/// <param name="Name">The name.</param>
/// <param name="Fit">The fit.</param>
internal sealed record NamedFit(string Name, LifeFit Fit);
