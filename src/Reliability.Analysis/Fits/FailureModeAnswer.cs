using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>One failure mode of a fit.</summary>
/// <param name="Name">The mode.</param>
/// <param name="IsUnknown">Whether these are the failures whose mode is not on record.</param>
/// <param name="FailureCount">Lives that failed so.</param>
/// <param name="Parameters">Parameters, as if the other modes were absent.</param>
/// <param name="LogLikelihood">Log-likelihood of the mode alone.</param>
/// <param name="MeanLife">Mean life as if the other modes were absent.</param>
/// <param name="PercentileLives">Percentile lives as if the other modes were absent.</param>
/// <param name="Incidences">Fractions failed in this mode by given ages, all modes being at work.</param>
public sealed record FailureModeAnswer(
    string Name,
    bool IsUnknown,
    double FailureCount,
    IReadOnlyList<ParameterEstimate> Parameters,
    double? LogLikelihood,
    BoundedEstimate MeanLife,
    IReadOnlyList<PercentileLife> PercentileLives,
    IReadOnlyList<(double Hours, double FailureFraction)> Incidences)
{
    /// <summary>What is assumed of every mode, in words.</summary>
    public const string Assumption = "As if the other failure modes were absent; assumes that modes work independently.";
}
