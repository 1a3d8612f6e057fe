namespace Reliability.Engine.Abstractions;

/// <summary>What a life model says of itself.</summary>
/// <param name="Id">Stable id, lower case with hyphens, for example <c>lognormal</c>.</param>
/// <param name="DisplayName">Name for people, for example "Lognormal".</param>
/// <param name="Parameters">Parameters in the order used everywhere, the covariance included.</param>
/// <param name="Capabilities">What it can do.</param>
/// <param name="Plot">Axes on which the model is drawn, a straight line where the model has such axes.</param>
/// <param name="Version">Version of the engine or plug-in that provides it.</param>
/// <param name="Source">Where model and method are published.</param>
public sealed record LifeModelDescription(
    string Id,
    string DisplayName,
    IReadOnlyList<ParameterDescription> Parameters,
    LifeModelCapabilities Capabilities,
    IPlotScale Plot,
    string Version,
    string Source)
{
    /// <summary>The plug-in that brings the model; set by the engine when it takes the plug-in in, null before.</summary>
    public PlugInIdentity? PlugIn { get; init; }

    /// <summary>Checks options against what the model says it can do. Worth calling first in <see cref="ILifeModel.Fit"/>.</summary>
    /// <param name="options">The options.</param>
    /// <exception cref="UnsupportedRequestException">An option is out of range or not available for this model.</exception>
    public void Check(FitOptions options)
    {
        ArgumentNullException.ThrowIfNull(options);
        Reliability.Engine.Fitting.FitRequest.Check(this, options);
    }
}
