using System.Runtime.Intrinsics;
using Reliability.Benchmarks.Bootstrap;
using Reliability.Benchmarks.Harness;
using Reliability.Engine;
using Reliability.Engine.Abstractions;

namespace Reliability.Benchmarks.Kernels;

/// <summary>
/// Fits against R's survival package on the same rows in the same run. Ours is the whole public fit of a sample, with standard errors;
/// R's is <c>survreg</c> with a tolerance of 1e-10. Rounds of both take turns, and each figure is a median.
/// </summary>
internal sealed class KernelSubject : ISubject
{
    private const int Rounds = 3;

    // The targets are for eight doubles at once; with four they are a third.
    private static readonly double Width = Vector512.IsHardwareAccelerated ? 1 : 1 / 3.0;

    private static readonly FitOptions Options = FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation };

    public string Name => "kernels";

    public string Description => "fits and estimates as parts of the time that R's survival takes on the same lives";

    public Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        var there = RSession.IsThere();
        if (!there)
            Console.WriteLine("Rscript with the package survival is not here: ratios are not measured.");
        foreach (var (lives, ours, least) in new[] { (1_000, 2_001, 300.0), (100_000, 101, 1_500), (1_000_000, 21, 1_000) })
        {
            var sample = Simulate(lives, 20261128, mixed: false);
            Compare(report, sample, there, "weibull", "weibull", $"weibull, {lives:N0} lives", ours, least * Width, cancellationToken);
            if (lives == 1_000_000)
                Pass(report, sample, cancellationToken);
        }

        var rows = Simulate(1_000_000, 20261129, mixed: true);
        foreach (var (model, r, least) in new[] { ("weibull", "weibull", 200.0), ("lognormal", "lognormal", 100), ("loglogistic", "loglogistic", 100) })
            Compare(report, rows, there, model, r, $"{model}, 1,000,000 mixed lives with late entry", 5, least * Width, cancellationToken);
        KaplanMeier(report, there, cancellationToken);
        return new BootstrapSubject().RunAsync(report, cancellationToken);
    }

    private static void Compare(
        Action<Figure> report, LifeSample sample, bool there, string model, string distribution, string name, int runs, double least,
        CancellationToken cancellationToken)
    {
        var fitted = BuiltInLifeModels.CreateCatalog().Models.Single(m => m.Description.Id == model);
        var milliseconds = new List<double>();
        var other = new List<double>();
        var direct = new List<double>();
        using var file = there ? new RowFile(sample) : null;
        for (var round = 0; round < Rounds; round++)
        {
            milliseconds.Add(Stopclock.MedianMilliseconds(() => fitted.Fit(sample, Options, cancellationToken), runs));
            if (file is null)
                continue;
            var times = RSession.Times(file.Survreg(distribution, sample.RowCount < 10_000 ? 21 : 1));
            other.Add(times["survreg"]);
            direct.Add(times["fit"]);
        }

        report(new Figure($"{name}: fit", Median(milliseconds), "ms"));
        var before = GC.GetTotalAllocatedBytes(true);
        fitted.Fit(sample, Options, cancellationToken);
        report(new Figure($"{name}: allocated a fit", (GC.GetTotalAllocatedBytes(true) - before) / 1024.0, "KiB"));
        if (there)
        {
            report(new Figure($"{name}: survreg", Median(other), "ms"));
            report(new Figure($"{name}: survreg.fit alone", Median(direct), "ms"));
        }

        report(new Figure($"{name}: survreg / ours", there ? Median(other) / Median(milliseconds) : double.NaN, "times", Target.Least(least)));
    }

    /// <summary>One pass of logarithm and exponential over the ages, on one thread.</summary>
    private static void Pass(Action<Figure> report, LifeSample sample, CancellationToken cancellationToken)
    {
        double sink = 0;
        var pass = Stopclock.MedianMilliseconds(() => sink += LogExp.Pass(sample.LowerHours), 21);
        var fit = Stopclock.MedianMilliseconds(
            () => BuiltInLifeModels.CreateCatalog().Default.Fit(sample, Options, cancellationToken), 21);
        report(new Figure("one pass of log and exp over 1,000,000 ages, one thread", pass, "ms"));
        report(new Figure("weibull fit of 1,000,000 / that pass", sink > 0 ? fit / pass : double.NaN, "times", Target.Most(3)));
    }

    private static void KaplanMeier(Action<Figure> report, bool there, CancellationToken cancellationToken)
    {
        var sample = Simulate(1_000_000, 20261130, mixed: false);
        var estimator = BuiltInLifeModels.CreateCatalog().Nonparametric;
        var ours = Stopclock.MedianMilliseconds(() => estimator.Estimate(sample, 0.95, cancellationToken), 3);
        report(new Figure("Kaplan-Meier, 1,000,000 lives", ours, "ms"));
        var other = double.NaN;
        if (there)
        {
            using var file = new RowFile(sample);
            other = RSession.Times(file.Survfit())["survfit"];
            report(new Figure("Kaplan-Meier, 1,000,000 lives: survfit", other, "ms"));
        }

        report(new Figure("Kaplan-Meier, 1,000,000 lives: survfit / ours", other / ours, "times", Target.Least(10)));
    }

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);

    // Weibull lives of shape 2 and scale 1,000 h, each stopped at an own age so that about 60 % survive; mixed: a fifth of
    // the failures known between two inspections, a fifth of the lives watched from an age on.
    private static LifeSample Simulate(int lives, int seed, bool mixed)
    {
        var random = new Random(seed);
        var builder = new LifeSampleBuilder(lives);
        while (builder.RowCount < lives)
        {
            var failure = 1_000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
            var stop = 1_500 * (1e-3 + random.NextDouble());
            var entry = mixed && random.Next(5) == 0 ? 300 * random.NextDouble() : 0;
            if (Math.Min(failure, stop) <= entry)
                continue;
            var inspected = Math.Floor(failure / 100) * 100;
            if (failure > stop)
                builder.AddSurvived(stop, entry);
            else if (mixed && random.Next(5) == 0)
                builder.AddBetween(Math.Max(entry, inspected), inspected + 100, entry);
            else
                builder.AddFailed(failure, entry);
        }

        return builder.Build();
    }
}
