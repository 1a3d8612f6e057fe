namespace Reliability.Engine.Abstractions;

/// <summary>Parameters of a family, estimated in whatever way, for <see cref="DeltaMethod"/>.</summary>
/// <param name="Parameters">The parameters on their natural scale, in the family's order, held ones included.</param>
public sealed record FamilyEstimate(IReadOnlyList<double> Parameters)
{
    /// <summary>Covariance of the estimates on the natural scale, row-major over <see cref="Parameters"/>, 0 in the rows of those held;
    /// empty when none is known, and then there are no bounds.</summary>
    public IReadOnlyList<double> Covariance { get; init; } = [];

    /// <summary>Log-likelihood of the ages (not of their logarithms) at the estimate; null when it was not computed. Only with it is the
    /// model ranked in assessments.</summary>
    public double? LogLikelihood { get; init; }

    /// <summary>What holds for the whole fit.</summary>
    public IReadOnlyList<EngineWarning> Warnings { get; init; } = [];
}
