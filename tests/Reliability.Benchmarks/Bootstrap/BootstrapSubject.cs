using System.Runtime.Intrinsics;
using Reliability.Benchmarks.Harness;
using Reliability.Benchmarks.Kernels;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Resampling;

namespace Reliability.Benchmarks.Bootstrap;

/// <summary>
/// 10,000 parametric bootstrap replicates of 200 right-censored Weibull lives, drawn and fitted, against R's <c>survreg</c> on the first
/// 200 of the same replicates in the same run (its time a fit times 10,000). Rounds of both take turns; each figure is a median.
/// </summary>
internal sealed class BootstrapSubject : ISubject
{
    private const int Lives = 200, Replicates = 10_000, FittedByR = 200, Rounds = 3, Runs = 21;
    private const ulong Seed = 20261128;

    // The target is for eight doubles at once; with four it is a third.
    private static readonly double Least = Vector512.IsHardwareAccelerated ? 2_000 : 2_000 / 3.0;

    public string Name => "bootstrap";

    public string Description => "bootstrap replicates as parts of the time that R's survival takes to fit the same";

    public Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        var there = RSession.IsThere();
        if (!there)
            Console.WriteLine("Rscript with the package survival is not here: ratios are not measured.");
        var sample = Simulate();
        var likelihood = LogTimeLikelihood.Create<SmallestExtremeValue>(sample);
        if (!Maximiser.Maximise(likelihood, cancellationToken).TryGet(out var maximum, out var reason))
            throw new InvalidOperationException(reason.Text);
        var axis = likelihood.Sample.Axis;
        var at = (maximum.U, maximum.V);
        var plan = ReplicatePlan.Of(sample, axis, PlanDetection.Of(sample, Termination.Unspecified))!;
        using var file = there ? new ReplicateFile(plan, axis, at, Seed, FittedByR) : null;
        List<double> ours = [], whole = [], direct = [];
        var shapes = double.NaN;
        for (var round = 0; round < Rounds; round++)
        {
            ours.Add(Stopclock.MedianMilliseconds(() => Resampler.Weibull(plan, at, Replicates, Seed, cancellationToken), Runs));
            if (file is null)
                continue;
            var times = RSession.Times(file.Survreg());
            whole.Add(times["survreg"] * Replicates);
            direct.Add(times["fit"] * Replicates);
            shapes = times["shapes"];
        }

        Resampler.Threads = 1;
        var alone = Stopclock.MedianMilliseconds(() => Resampler.Weibull(plan, at, Replicates, Seed, cancellationToken), Runs);
        Resampler.Threads = null;
        var before = GC.GetTotalAllocatedBytes(true);
        var fits = Resampler.Weibull(plan, at, Replicates, Seed, cancellationToken);
        var allocated = GC.GetTotalAllocatedBytes(true) - before;
        var name = $"{Replicates:N0} replicates of {Lives} weibull lives";
        report(new Figure($"{name}: drawn and fitted", Median(ours), "ms"));
        report(new Figure($"{name}: the same on one thread", alone, "ms"));
        report(new Figure($"{name}: allocated", allocated / 1024.0 / 1024, "MiB"));
        if (there)
        {
            report(new Figure($"{name}: survreg ({FittedByR} scaled up)", Median(whole), "ms"));
            report(new Figure($"{name}: survreg.fit alone, scaled up", Median(direct), "ms"));
            var difference = Math.Abs(fits.U.Take(FittedByR).Average() / shapes - 1);
            report(new Figure("mean shape of those R fitted, relative difference", difference, "", Target.Most(1e-7)));
        }

        report(new Figure("bootstrap: survreg / ours", there ? Median(whole) / Median(ours) : double.NaN, "times", Target.Least(Least)));
        return Task.CompletedTask;
    }

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);

    // Weibull lives of shape 2 and scale 1,000 h, each to be stopped at a known age of its own: about 60 % survive.
    private static LifeSample Simulate()
    {
        var random = new Random(20261128);
        var builder = new LifeSampleBuilder(Lives);
        for (var i = 0; i < Lives; i++)
        {
            var failure = 1_000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
            var stop = 1_500 * (1e-3 + random.NextDouble());
            if (failure > stop)
                builder.AddSurvived(stop);
            else
                builder.AddFailed(failure, plannedEndHours: stop);
        }

        return builder.Build();
    }
}
