using System.Collections.Frozen;
using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>A life model fitted to a sample, with every number that was asked for.</summary>
public sealed record FitAnswer
{
    /// <summary>The life model that was fitted.</summary>
    public required LifeModelDescription Model { get; init; }

    /// <summary>Parameters in the model's order, held ones included.</summary>
    public required IReadOnlyList<ParameterEstimate> Parameters { get; init; }

    /// <summary>Covariance of the parameter estimates on the natural scale, row-major; empty when there is no estimate.</summary>
    public required IReadOnlyList<double> Covariance { get; init; }

    /// <summary>Log-likelihood of the times themselves; null when there is no estimate.</summary>
    public required double? LogLikelihood { get; init; }

    /// <summary>Mean life in run-hours.</summary>
    public required BoundedEstimate MeanLife { get; init; }

    /// <summary>Ages by which given fractions have failed.</summary>
    public required IReadOnlyList<PercentileLife> PercentileLives { get; init; }

    /// <summary>Chances to outlast given ages.</summary>
    public required IReadOnlyList<ReliabilityPoint> Reliability { get; init; }

    /// <summary>What is left after given ages.</summary>
    public required IReadOnlyList<RemainingLife> RemainingLives { get; init; }

    /// <summary>How well the model fits; null when there is no estimate.</summary>
    public required GoodnessOfFit? GoodnessOfFit { get; init; }

    /// <summary>How the bounds were made.</summary>
    public required BoundsMethod BoundsMethod { get; init; }

    /// <summary>Their confidence level.</summary>
    public required double ConfidenceLevel { get; init; }

    /// <summary>What holds for the fit as a whole, and why single numbers are absent or doubtful.</summary>
    public required IReadOnlyList<EngineWarning> Warnings { get; init; }

    /// <summary>Parameters that were held at a value.</summary>
    public required IReadOnlyDictionary<string, double> FixedParameters { get; init; }

    /// <summary>How the observation was taken to have ended.</summary>
    public required Termination Termination { get; init; }

    /// <summary>The plan that the bounds took for granted; null where they do not depend on one.</summary>
    public ObservationPlan? Plan { get; init; }

    /// <summary>Parameters corrected for their bias in small samples, by name.</summary>
    public IReadOnlyDictionary<string, double> MedianUnbiased { get; init; } = FrozenDictionary<string, double>.Empty;

    /// <summary>What the bounds rest on where they were simulated; null where they were not.</summary>
    public SimulatedBounds? Simulation { get; init; }

    /// <summary>Each failure mode, from models that fit them.</summary>
    public IReadOnlyList<FailureModeAnswer> FailureModes { get; init; } = [];

    /// <summary>The test of the fit by simulation, or why there is none; null when not asked for.</summary>
    public Estimable<FitTest>? FitTest { get; init; }

    /// <summary>Cox-Snell residuals by row of the sample; empty when not asked for.</summary>
    public IReadOnlyList<CoxSnellResidual> Residuals { get; init; } = [];

    /// <summary>Seed used.</summary>
    public required ulong Seed { get; init; }

    /// <summary>What is needed to draw the fit; null when not asked for.</summary>
    public FitPlot? Plot { get; init; }
}
