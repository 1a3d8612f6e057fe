using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Resampling;

namespace Reliability.Engine.Families;

/// <summary>
/// Percentile-t bounds of a member of any family, as <see cref="BootstrapBounds"/> for the others: samples are fitted one by one from the
/// estimate. Where an estimate runs to is not known here, so that a sample without one counts against either bound.
/// </summary>
internal sealed class FamilyBootstrap : IFamilyBounds
{
    /// <summary>Samples of more lives are not imitated: each fit takes milliseconds.</summary>
    public const double MostLives = 1000;

    private readonly ILifeFamily _family;
    private readonly FreeParameters _parameters;
    private readonly FamilyMaximum _maximum;
    private readonly FamilyMaximum?[] _replicates;
    private readonly double _share;

    private FamilyBootstrap(Surface surface, FamilyMaximum maximum, FamilyMaximum?[] replicates, double level) =>
        (_family, _parameters, _maximum, _replicates, _share) = (surface.Likelihood.Family, surface.Parameters, maximum, replicates, (1 - level) / 2);

    /// <summary>What the bounds rest on.</summary>
    public required SimulatedBounds Simulation { get; init; }

    /// <summary>The plan that was imitated.</summary>
    public required ObservationPlan Plan { get; init; }

    /// <summary>Simulates; refused where samples like this one cannot be.</summary>
    public static Estimable<FamilyBootstrap> Of(
        Surface surface, FamilyMaximum maximum, FitOptions options, List<EngineWarning> warnings, CancellationToken cancellationToken)
    {
        var sample = surface.Likelihood.Sample;
        var axis = new LogTimeAxis(sample.OldestHours);
        var observation = PlanDetection.Of(sample, options.Termination);
        if (observation.Termination != options.Termination && options.Termination != Termination.Unspecified)
            warnings.Add(FitWarnings.TerminationNotUsed);
        if (sample.TotalCount > MostLives || ReplicatePlan.Of(sample, axis, observation) is not { } plan)
            return BootstrapChoice.TooMany(sample, MostLives);
        var life = new FamilyLife(surface.Likelihood.Family, surface.Parameters.Natural(maximum.Point), axis);
        var replicates = new FamilyMaximum?[options.Replicates];
        Resampler.ForEach(
            replicates.Length, () => new SampleDrawer(plan, axis),
            (replicate, drawer) =>
            {
                var drawn = drawer.Draw(life, options.Seed, replicate);
                if (drawn.FailureCount == 0)
                    return;
                var again = new Surface(new FamilyLikelihood(surface.Likelihood.Family, drawn), surface.Parameters);
                if (FamilyMaximiser.MaximiseFrom(again, maximum.Point, cancellationToken).TryGet(out var found, out _))
                    replicates[replicate] = found;
            },
            Callers.Of(surface.Likelihood.Family, cancellationToken, Resampler.Threads));
        var without = replicates.Count(found => found is null);
        if (without > 0)
            warnings.Add(BootstrapChoice.WithoutEstimate(without, replicates.Length));
        return new FamilyBootstrap(surface, maximum, replicates, options.ConfidenceLevel)
        {
            Simulation = new(BootstrapChoice.Method, replicates.Length, without, options.Seed, plan.InWords()),
            Plan = observation,
        };
    }

    public FamilyBound Extreme(FamilyQuantity quantity, int sign, CancellationToken cancellationToken)
    {
        var (centre, error) = Estimate(quantity, _maximum);
        if (!double.IsFinite(centre) || !double.IsFinite(error))
            return FamilyBound.NotFound;
        var departures = new double[_replicates.Length];
        Resampler.ForEach(
            departures.Length, () => 0,
            (i, _) =>
            {
                var (at, by) = _replicates[i] is { } found ? Estimate(quantity, found) : (double.NaN, double.NaN);
                departures[i] = (at - centre) / by;
            },
            Callers.Of(_family, cancellationToken, Resampler.Threads));
        var known = Array.FindAll(departures, double.IsFinite);
        Array.Sort(known);
        var limit = new SimulatedDepartures(known, departures.Length - known.Length, departures.Length - known.Length).Limit(_share, sign);

        // A bound that would lie beyond the estimate is set to it.
        return limit is { } departure
            ? new FamilyBound(centre + sign * Math.Max(0, -sign * departure * error))
            : new FamilyBound(null, IsEndless: true);
    }

    private (double Value, double Error) Estimate(FamilyQuantity quantity, FamilyMaximum at) =>
        _parameters.AtEstimate(quantity, at.Point, at.Root);
}
