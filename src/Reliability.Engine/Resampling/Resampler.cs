using Reliability.Engine.Abstractions;
using Reliability.Engine.Kernels;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Resampling;

/// <summary>
/// The parametric bootstrap (Efron and Tibshirani 1993; Meeker and Escobar 1998, ch. 9): samples simulated under a plan and fitted
/// again. The same seed gives the same answer on any number of threads.
/// </summary>
internal static class Resampler
{
    private const int BatchesAtOnce = 16;

    /// <summary>Most threads that work on one call; null for as many as there are processors.</summary>
    internal static int? Threads { get; set; }

    /// <summary>Simulates and fits.</summary>
    /// <param name="likelihood">The likelihood of the sample that is imitated.</param>
    /// <param name="plan">How samples come about.</param>
    /// <param name="at">The simulated parameters.</param>
    /// <param name="replicates">How many samples.</param>
    /// <param name="seed">Seed.</param>
    /// <param name="cancellationToken">Looked at before each eight samples.</param>
    public static ReplicateFits Fit(
        LogTimeLikelihood likelihood, ReplicatePlan plan, (double U, double V) at, int replicates, ulong seed,
        CancellationToken cancellationToken) =>
        likelihood.Distribution is SmallestExtremeValue && !plan.HasLateEntry && plan.Inspections is null
            ? Weibull(plan, at, replicates, seed, cancellationToken)
            : AnySample(likelihood, plan, at, replicates, seed, cancellationToken);

    /// <summary>Weibull samples of known ages, eight side by side.</summary>
    public static ReplicateFits Weibull(
        ReplicatePlan plan, (double U, double V) at, int replicates, ulong seed, CancellationToken cancellationToken)
    {
        var fits = new ReplicateFits(replicates);
        ForEach(
            (replicates + EightStreams.Count - 1) / EightStreams.Count, () => new WeibullBlock(plan, at.U, at.V),
            (batch, block) => Eight(block, fits, seed, batch * EightStreams.Count), cancellationToken);
        return fits;
    }

    /// <summary>Any sample, one after the other through the fit that samples of the service take.</summary>
    public static ReplicateFits AnySample(
        LogTimeLikelihood likelihood, ReplicatePlan plan, (double U, double V) at, int replicates, ulong seed,
        CancellationToken cancellationToken) =>
        Each(
            likelihood, plan, at, replicates, seed,
            drawn => Estimability.OfBothParameters(drawn.Sample.Lives) is { } reason
                ? reason
                : Maximiser.Maximise(drawn, cancellationToken),
            cancellationToken);

    /// <summary>Any sample with u held at its value.</summary>
    public static ReplicateFits Holding(
        LogTimeLikelihood likelihood, ReplicatePlan plan, (double U, double V) at, int replicates, ulong seed,
        CancellationToken cancellationToken) =>
        Each(
            likelihood, plan, at, replicates, seed,
            drawn => Estimability.OfScale(drawn.Sample.Lives) is { } reason
                ? reason
                : Maximiser.MaximiseLocation(drawn, at.U, cancellationToken),
            cancellationToken);

    /// <summary>Does so many pieces of work, with working memory that a thread keeps.</summary>
    public static void ForEach<T>(int count, Func<T> memory, Action<int, T> work, CancellationToken cancellationToken) =>
        ForEach(count, memory, work, new ParallelOptions { CancellationToken = cancellationToken, MaxDegreeOfParallelism = Threads ?? -1 });

    /// <summary>The same on threads of the caller's choice.</summary>
    public static void ForEach<T>(int count, Func<T> memory, Action<int, T> work, ParallelOptions options)
    {
        Parallel.For(0, (count + BatchesAtOnce - 1) / BatchesAtOnce, options, memory, (group, _, held) =>
        {
            for (var i = group * BatchesAtOnce; i < Math.Min(count, (group + 1) * BatchesAtOnce); i++)
            {
                options.CancellationToken.ThrowIfCancellationRequested();
                work(i, held);
            }

            return held;
        }, _ => { });
    }

    private static ReplicateFits Each(
        LogTimeLikelihood likelihood, ReplicatePlan plan, (double U, double V) at, int replicates, ulong seed,
        Func<LogTimeLikelihood, Estimable<Maximum>> maximise, CancellationToken cancellationToken)
    {
        var fits = new ReplicateFits(replicates);
        var axis = likelihood.Sample.Axis;
        var life = new LocationScaleLife(likelihood.Distribution, at.U, at.V);
        ForEach(
            replicates, () => new SampleDrawer(plan, axis),
            (replicate, drawer) =>
            {
                var drawn = likelihood.Of(drawer.Draw(life, seed, replicate));
                if (!maximise(drawn).TryGet(out var maximum, out _))
                {
                    fits.SetMissing(replicate, RunawayEstimate.Of(drawn.Sample.Lives, axis));
                    return;
                }

                // x of the drawn sample counts from its own greatest age.
                var shift = axis.LogReference - drawn.Sample.Axis.LogReference;
                var (uu, uv, vv) = (maximum.CovarianceUU, maximum.CovarianceUV, maximum.CovarianceVV);
                fits.Set(
                    replicate, maximum.U, maximum.V + maximum.U * shift, uu, uv + shift * uu, vv + shift * (2 * uv + shift * uu));
            },
            cancellationToken);
        return fits;
    }

    private static void Eight(WeibullBlock block, ReplicateFits fits, ulong seed, int first)
    {
        if (Width.Is512)
            WeibullReplicates<Lanes512>.Fit(block, fits, seed, first);
        else if (Width.Is256)
            WeibullReplicates<Lanes256>.Fit(block, fits, seed, first);
        else
            WeibullReplicates<Lanes128>.Fit(block, fits, seed, first);
    }
}
