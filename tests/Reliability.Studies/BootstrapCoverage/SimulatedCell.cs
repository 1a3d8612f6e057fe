using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;
using Reliability.Engine.Resampling;
using Reliability.Studies.BoundsCoverage;

namespace Reliability.Studies.BootstrapCoverage;

/// <summary>
/// One cell for the kinds of bounds that simulate, and the exact ones: bounds of the service's own fits, and for the signed root whether the
/// truth lies within its bounds, which one simulation at the truth tells without looking for them.
/// </summary>
internal static class SimulatedCell
{
    public const string SignedRoot = "SignedRoot";

    public const int RootReplicates = 999;

    private const double Share = 0.025;

    /// <summary>Runs a cell.</summary>
    public static CellResult Of(Cell cell, ILifeModel model, int samples, int seed)
    {
        var asked = cell.Quantities.Where(q => Quantity(q.Name) is not null).ToList();
        BoundsMethod[] methods = cell.Plan == StudyPlan.FailureTerminated
            ? [BoundsMethod.Bootstrap, BoundsMethod.Exact]
            : [BoundsMethod.Bootstrap];
        var tallies = methods.Select(m => $"{m}").Append(SignedRoot)
            .SelectMany(method => asked.Select(q => new Tally(method, q.Name))).ToDictionary(t => (t.Method, t.Quantity));
        var without = 0;
        for (var i = 0; i < samples; i++)
        {
            var sample = cell.Sample(seed, i);
            if (sample.FailureCount < 2 || !model.Fit(sample, FitOptions.Default).TryGet(out _, out _))
            {
                without++;
                continue;
            }

            foreach (var method in methods)
            {
                if (!model.Fit(sample, new FitOptions { BoundsMethod = method, Seed = (ulong)i }).TryGet(out var fit, out _))
                    continue;
                foreach (var (name, _, ask) in asked)
                    Count(tallies[($"{method}", name)], ask(fit), fit, cell, name);
            }

            foreach (var (name, _, _) in asked)
                CountRoot(tallies[(SignedRoot, name)], cell, sample, Quantity(name)!, (ulong)i);
        }

        return new CellResult(samples, without, [.. tallies.Values]);
    }

    private static void Count(Tally tally, BoundedEstimate estimate, IFittedLife fit, Cell cell, string name)
    {
        // The parameter that u stands for has one name in each family; the cell's shape is its truth, or one over it.
        var truth = name == "shape"
            ? fit.Parameters.Any(p => p.Name == "sigma") ? 1 / cell.Shape : cell.Shape
            : cell.Quantities.Single(q => q.Name == name).Truth;
        tally.Count(estimate, truth);
    }

    private static void CountRoot(Tally tally, Cell cell, LifeSample sample, LifeQuantity quantity, ulong seed)
    {
        var likelihood = cell.Model switch
        {
            "weibull" => LogTimeLikelihood.Create<SmallestExtremeValue>(sample),
            "lognormal" => LogTimeLikelihood.Create<StandardNormal>(sample),
            _ => LogTimeLikelihood.Create<StandardLogistic>(sample),
        };
        var observation = PlanDetection.Of(sample, Termination.Unspecified);
        var plan = ReplicatePlan.Of(sample, likelihood.Sample.Axis, observation);
        if (plan is null || !Maximiser.Maximise(likelihood, CancellationToken.None).TryGet(out var maximum, out _))
            return;
        var axis = likelihood.Sample.Axis;
        var truth = quantity.Transformed(new(
            likelihood.Distribution, axis, cell.Shape, -cell.Shape * axis.ToX(Cell.Scale)));
        var space = new ParameterSpace(likelihood.Distribution, axis, maximum);
        var root = new SignedRoot(likelihood, space, quantity);
        var simulation = new SignedRootBootstrap(likelihood, space, plan, RootReplicates, seed);
        if (root.Constrained(truth, CancellationToken.None) is not { } constrained
            || simulation.Simulate(quantity, root, truth, CancellationToken.None) is not { } departures)
            return;
        var r = root.Of(truth, constrained);

        // On the transformed scale a reliability is reversed: what lies below there lies above in the answer.
        var (below, above) = (r > 0 && departures.Share(r, -1) <= Share, r < 0 && departures.Share(r, 1) <= Share);
        if (quantity.Scale.IsReversed())
            (below, above) = (above, below);
        tally.Of++;
        tally.Below += below ? 1 : 0;
        tally.Above += above ? 1 : 0;
    }

    private static LifeQuantity? Quantity(string name) => name switch
    {
        "shape" => LifeQuantities.Shape,
        "B10" => LifeQuantities.Percentile(0.1),
        "mean" => LifeQuantities.Mean,
        _ => null,
    };
}
