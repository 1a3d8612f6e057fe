using Reliability.Benchmarks.Bootstrap;
using Reliability.Benchmarks.Harness;
using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Kernels;

namespace Reliability.Benchmarks.Kernels;

/// <summary>
/// Fits against R's survival package on the same rows in the same run. Ours is the whole public fit of a sample (the ages and flags that
/// it holds; no logarithm is kept from one fit to the next), with standard errors, by the clock; R's is <c>survreg</c> with a tolerance
/// of 1e-10 on a response that is there already, by its processor's time. Each figure is the least of its runs: other work on the machine
/// makes ours longer and R's not.
/// </summary>
internal sealed class KernelSubject : ISubject
{
    private const int Few = 1_000, Many = 100_000, Most = 1_000_000;

    // What a fit may leave behind, however long the sample: of mixed outcomes it begins at the maximum of 4,096 rows, which it holds.
    private const double MostKiB = 64, MostKiBMixed = 512;

    private static readonly FitOptions Options = FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation };

    public string Name => "kernels";

    public string Description => "fits and estimates as parts of the time that R's survival takes on the same lives, and FitLives of stored ones";

    public async Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        var there = RSession.IsThere();
        if (!there)
            Console.WriteLine("Rscript with the package survival is not here: what R takes is not measured, and targets that hang on it are missed.");

        // Of times and flags the targets 300, 1,500 and 1,000 are for eight doubles at once; with four they are a third.
        var part = Width.Is512 ? 1 : 1 / 3.0;
        Console.WriteLine(
            $"{Width.Lanes} doubles at once ran ({(Width.Is512 ? "AVX-512" : Width.Is256 ? "AVX2" : "128 bits")}): the targets of times and flags, and of replicates, are "
            + (Width.Is512 ? "the whole ones of AVX-512." : "a third of those for AVX-512; all others are whole."));
        TimesAndFlags(report, there, Few, 10_001, 5, 300 * part, cancellationToken);
        TimesAndFlags(report, there, Many, 301, 3, 1_500 * part, cancellationToken);
        Pass(report, TimesAndFlags(report, there, Most, 21, 1, 1_000 * part, cancellationToken), cancellationToken);
        Mixed(report, there, cancellationToken);
        KaplanMeier(report, there, cancellationToken);
        TurnbullRows.Report(report, there, cancellationToken);
        Allocations(report, cancellationToken);
        await new BootstrapSubject().RunAsync(report, cancellationToken);
        await new StoredFitSubject().RunAsync(report, cancellationToken);
    }

    private static LifeSample TimesAndFlags(
        Action<Figure> report, bool there, int lives, int ours, int others, double least, CancellationToken cancellationToken)
    {
        var sample = SimulatedSamples.Censored(lives, 20261128, mixed: false);
        Compare(report, sample, there, "weibull", $"weibull, {lives:N0} lives", ours, others, least, cancellationToken);
        return sample;
    }

    private static void Mixed(Action<Figure> report, bool there, CancellationToken cancellationToken)
    {
        var sample = SimulatedSamples.Censored(Most, 20261129, mixed: true);
        foreach (var (model, least) in new[] { ("weibull", 200.0), ("lognormal", 100), ("loglogistic", 100) })
            Compare(report, sample, there, model, $"{model}, {Most:N0} mixed lives with late entry", 31, 1, least, cancellationToken);
    }

    private static void Compare(
        Action<Figure> report, LifeSample sample, bool there, string model, string name, int runs, int others, double least,
        CancellationToken cancellationToken)
    {
        var fitted = Model(model);
        var ours = Stopclock.LeastMilliseconds(() => fitted.Fit(sample, Options, cancellationToken), runs);
        double other = double.NaN, within = double.NaN;
        if (there)
        {
            using var file = new RowFile(sample);
            var times = RSession.Times(file.Survreg(model, others));
            (other, within) = (times["survreg"], times["fit"]);
        }

        // Once more after R: what was beside the one is not always beside the other.
        ours = Math.Min(ours, Stopclock.LeastMilliseconds(() => fitted.Fit(sample, Options, cancellationToken), runs));
        report(Against.R(name, "survreg", other, ours, least));
        report(Against.R(name, "survreg.fit", within, ours, 0) with { Target = null });
    }

    /// <summary>One pass of logarithm and exponential over the ages, on one thread; and our own logarithm beside the base library's.</summary>
    private static void Pass(Action<Figure> report, LifeSample sample, CancellationToken cancellationToken)
    {
        double sink = 0;
        var pass = Stopclock.LeastMilliseconds(() => sink += LogExp.Pass(sample.LowerHours), 21);
        var fit = Stopclock.LeastMilliseconds(() => Model("weibull").Fit(sample, Options, cancellationToken), 21);
        report(new Figure($"weibull, {Most:N0} lives: ours {fit:0.##} ms / one pass of log and exp, one thread {pass:0.##} ms",
            double.IsFinite(sink) ? fit / pass : double.NaN, "times", Target.Most(3)));
        double theirs = double.PositiveInfinity, own = double.PositiveInfinity;
        for (var round = 0; round < 5; round++)
        {
            theirs = Math.Min(theirs, Stopclock.LeastMilliseconds(() => sink += LogExp.BaseLogs(sample.LowerHours), 11));
            own = Math.Min(own, Stopclock.LeastMilliseconds(() => sink += LogExp.OwnLogs(sample.LowerHours), 11));
        }

        report(new Figure($"{Most:N0} logarithms: the base library's {theirs:0.##} ms / the own one's {own:0.##} ms",
            double.IsFinite(sink) ? theirs / own : double.NaN, "times", Target.Least(1.3)));
    }

    private static void KaplanMeier(Action<Figure> report, bool there, CancellationToken cancellationToken)
    {
        var sample = SimulatedSamples.Censored(Most, 20261130, mixed: false);
        var estimator = BuiltInLifeModels.CreateCatalog().Nonparametric;
        var ours = Stopclock.LeastMilliseconds(() => estimator.Estimate(sample, 0.95, cancellationToken), 5);
        var other = double.NaN;
        if (there)
        {
            using var file = new RowFile(sample);
            other = RSession.Times(file.Survfit())["survfit"];
        }

        report(Against.R($"Kaplan-Meier, {Most:N0} lives", "survfit", other, ours, 10));
    }

    private static void Allocations(Action<Figure> report, CancellationToken cancellationToken)
    {
        foreach (var (model, mixed, most) in new[] { ("weibull", false, MostKiB), ("weibull", true, MostKiBMixed), ("lognormal", true, MostKiBMixed) })
        {
            foreach (var lives in new[] { Many, Most })
            {
                var sample = SimulatedSamples.Censored(lives, 20261133, mixed);
                var fitted = Model(model);
                var least = double.PositiveInfinity;
                for (var run = 0; run < 5; run++)
                {
                    var before = GC.GetTotalAllocatedBytes(true);
                    fitted.Fit(sample, Options, cancellationToken);
                    least = Math.Min(least, (GC.GetTotalAllocatedBytes(true) - before) / 1024.0);
                }

                report(new Figure($"{model}, {lives:N0} {(mixed ? "mixed lives" : "lives")}: allocated by a fit", least, "KiB", Target.Most(most)));
            }
        }
    }

    private static ILifeModel Model(string id) => BuiltInLifeModels.CreateCatalog().Models.Single(model => model.Description.Id == id);
}
