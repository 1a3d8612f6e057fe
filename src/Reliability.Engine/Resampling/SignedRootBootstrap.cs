using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Resampling;

/// <summary>
/// Bounds by the signed root r of the likelihood ratio against its own distribution, simulated under the constrained fit at each value that
/// is tried (DiCiccio, Martin and Stern, Can. J. Statist. 29 (2001) 67-76; Lee and Young, Statist. Probab. Lett. 71 (2005) 143-153). The random
/// numbers are the same at each value, so that bounds are crossed smoothly.
/// </summary>
/// <param name="likelihood">The likelihood of the sample.</param>
/// <param name="space">Its maximum over both parameters.</param>
/// <param name="plan">How samples come about.</param>
/// <param name="replicates">Samples a value.</param>
/// <param name="seed">Seed.</param>
internal sealed class SignedRootBootstrap(
    LogTimeLikelihood likelihood, ParameterSpace space, ReplicatePlan plan, int replicates, ulong seed)
{
    private const int Values = 10;

    // The limit itself is uncertain by some 0.05 with 2,000 samples.
    private const double Settled = 0.005;

    /// <summary>A bound on the quantity's transformed scale, and the simulation behind it; null where there is none.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="side">-1 for the least value, +1 for the greatest.</param>
    /// <param name="share">The share of samples that are to miss on this side.</param>
    /// <param name="cancellationToken">Looked at before each sample.</param>
    public (double Bound, SimulatedDepartures Roots)? Bound(LifeQuantity quantity, int side, double share, CancellationToken cancellationToken)
    {
        var root = new SignedRoot(likelihood, space, quantity);
        var wanted = -default(StandardNormal).Quantile(share);
        (double Wanted, double Miss)? before = null;
        for (var i = 0; i < Values; i++)
        {
            if (RootCrossing.Outward(root, wanted, side, cancellationToken) is not { } value
                || Simulate(quantity, root, value, cancellationToken) is not { } roots
                || -side * roots.Limit(share, side) is not { } limit)
                return null;
            var miss = limit - wanted;
            if (Math.Abs(miss) < Settled || value == root.Estimate)
                return (value, roots);
            var next = before is { } last && last.Miss != miss
                ? wanted - miss * Math.Clamp((wanted - last.Wanted) / (miss - last.Miss), -2, -0.5)
                : limit;
            (before, wanted) = ((wanted, miss), next);
        }

        return null;
    }

    /// <summary>r of samples simulated under the constrained fit at a value; null where there is no such fit.</summary>
    public SimulatedDepartures? Simulate(LifeQuantity quantity, SignedRoot root, double value, CancellationToken cancellationToken)
    {
        if (root.Constrained(value, cancellationToken) is not { } at)
            return null;
        var axis = likelihood.Sample.Axis;
        var life = new LogTimeLife(likelihood.Distribution, axis, at.U, at.V);
        var roots = new double[replicates];
        var missing = 0;
        Resampler.ForEach(
            replicates, () => new SampleDrawer(plan, axis),
            (replicate, drawer) => roots[replicate] = Root(drawer, at, replicate), cancellationToken);
        var known = Array.FindAll(roots, r => !double.IsNaN(r));
        Array.Sort(known);
        return new(known, replicates - known.Length, missing);

        double Root(SampleDrawer drawer, in ConstrainedFit truth, int replicate)
        {
            var sample = drawer.Draw(new LocationScaleLife(likelihood.Distribution, truth.U, truth.V), seed, replicate);
            var drawn = likelihood.Of(sample);
            if (Estimability.OfBothParameters(sample) is not null
                || !Maximiser.Maximise(drawn, cancellationToken).TryGet(out var maximum, out _))
            {
                Interlocked.Increment(ref missing);
                return RunawayEstimate.Departure(quantity, life, RunawayEstimate.Of(sample, axis), value);
            }

            var estimate = quantity.Transformed(new LogTimeLife(drawn.Distribution, drawn.Sample.Axis, maximum.U, maximum.V));

            // The truth on the drawn sample's axis, which counts from its own greatest age.
            var v = truth.V - truth.U * (axis.LogReference - drawn.Sample.Axis.LogReference);
            return new ConstraintPath(drawn, quantity).At(value, (truth.U, v), cancellationToken) is { } constrained
                ? Math.Sign(estimate - value) * Math.Sqrt(Math.Max(0, 2 * (maximum.Value - constrained.Value)))
                : double.NaN;
        }
    }
}
