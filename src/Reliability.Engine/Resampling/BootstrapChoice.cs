using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Resampling;

/// <summary>Bootstrap bounds as a request asks for them.</summary>
internal static class BootstrapChoice
{
    public const string Method = "percentile-t, parametric";

    /// <summary>Simulates, and says what the bounds rest on.</summary>
    public static Estimable<BoundsChoice> Of(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeSample sample, FitOptions options, List<EngineWarning> warnings,
        CancellationToken cancellationToken)
    {
        var observation = PlanDetection.Of(sample, options.Termination);
        if (observation.Termination != options.Termination && options.Termination != Termination.Unspecified)
            warnings.Add(FitWarnings.TerminationNotUsed);
        if (ReplicatePlan.Of(sample, likelihood.Sample.Axis, observation) is not { } plan)
            return TooMany(sample, ReplicatePlan.MostLives);
        var maximum = space.Maximum;
        var at = (maximum.U, maximum.V);
        var fits = maximum.IsOneParameter
            ? Resampler.Holding(likelihood, plan, at, options.Replicates, options.Seed, cancellationToken)
            : Resampler.Fit(likelihood, plan, at, options.Replicates, options.Seed, cancellationToken);
        var without = fits.WithoutMaximum;
        if (without > 0)
            warnings.Add(WithoutEstimate(without, options.Replicates));
        return new BoundsChoice(
            new BootstrapBounds(space, new(likelihood.Distribution, likelihood.Sample.Axis, at.U, at.V), fits, options.ConfidenceLevel),
            observation)
        {
            Simulation = new(Method, options.Replicates, without, options.Seed, plan.InWords()),
        };
    }

    public static NotEstimable TooMany(LifeSample sample, double most) => new(
        NotEstimableReasons.CannotBeSimulated,
        string.Create(
            CultureInfo.InvariantCulture,
            $"Bootstrap bounds (bounds_method) simulate samples of at most {most:N0} lives here, with whole counts; these are {sample.TotalCount:0.###} lives. Ask for likelihood-ratio bounds."));

    public static EngineWarning WithoutEstimate(int without, int replicates) => new(
        WarningCodes.ReplicatesWithoutEstimate,
        string.Create(
            CultureInfo.InvariantCulture,
            $"{without:N0} of {replicates:N0} simulated samples allowed no estimate. They count towards where theirs runs, and against either "
            + $"bound where that is not known: bounds are the wider for it."));
}
