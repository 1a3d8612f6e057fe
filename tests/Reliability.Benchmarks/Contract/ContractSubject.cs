using System.Diagnostics;
using Reliability.Benchmarks.Harness;
using Reliability.Benchmarks.Kernels;
using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Families;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;
using Reliability.Engine.PlugIns.Guarding;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Benchmarks.Contract;

/// <summary>
/// What the contract costs at 100,000 lives, guard included, against the same arithmetic without it: a fit of a model against its kernel's
/// maximisation, a look at the likelihood through a family's batches against a plain loop over the lives. Medians of 101 runs of each, taken
/// in turn: such machines as it was written on count no instructions.
/// </summary>
internal sealed class ContractSubject : ISubject
{
    private const int Lives = 100_000, Runs = 101;

    private static readonly FitOptions Options = FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation };

    private static readonly PlugInIdentity PlugIn = new("measured", "1", "the benchmark", "sha256:0");

    public string Name => "contract";

    public string Description => "what going through the contract of life models adds to the arithmetic, at 100,000 lives";

    public Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        var plain = SimulatedSamples.Censored(Lives, 20261128, mixed: false);
        var mixed = SimulatedSamples.Censored(Lives, 20261129, mixed: true);
        Kernel(report, "weibull, times and flags", plain, 10, cancellationToken);
        Kernel(report, "weibull, mixed lives with late entry", mixed, 1, cancellationToken);
        Look(report, plain, cancellationToken);
        Guarded(report, plain, cancellationToken);
        return Task.CompletedTask;
    }

    /// <summary>The kernel's maximum of the likelihood, against the fit of the model, found by its id, with every answer that a plain fit has.</summary>
    private static void Kernel(Action<Figure> report, string name, LifeSample sample, int times, CancellationToken cancellationToken)
    {
        var catalog = BuiltInLifeModels.CreateCatalog();
        var guarded = catalog.Models.ToDictionary(m => m.Description.Id, m => new GuardedModel(m, PlugIn, "1"));
        Compare(
            report, name, times,
            () => LocationScaleModel<SmallestExtremeValue>.Maximise(
                LogTimeLikelihood.Create<SmallestExtremeValue>(sample), null, cancellationToken),
            () => guarded["weibull"].Fit(sample, Options, cancellationToken));
    }

    /// <summary>One look at a likelihood of gamma lives: a loop over the rows with the formulas in it, against batches through a guarded family.</summary>
    private static void Look(Action<Figure> report, LifeSample sample, CancellationToken cancellationToken)
    {
        double[] parameters = [2.2, 500];
        var likelihood = new FamilyLikelihood(GuardedFamily.Of(new GammaFamily()), sample);
        double direct = 0, through = 0;
        Compare(
            report, "gamma, one look at the likelihood", 1,
            () => direct = GammaLoop(sample, parameters[0], parameters[1]),
            () => through = likelihood.At(parameters, cancellationToken));
        if (!(Math.Abs(direct - through) < 1e-9 * Math.Abs(direct)))
            throw new InvalidOperationException($"The two ways differ: {direct:R} and {through:R}.");
    }

    /// <summary>A whole fit of a family, guarded and not.</summary>
    private static void Guarded(Action<Figure> report, LifeSample sample, CancellationToken cancellationToken)
    {
        var bare = BuiltInLifeModels.FromFamily(new NormalFamily(), "measured", "1");
        var guarded = new GuardedModel(BuiltInLifeModels.FromFamily(GuardedFamily.Of(new NormalFamily()), "measured", "1"), PlugIn, "1");
        Compare(
            report, "normal, whole fit of a family", 1,
            () => bare.Fit(sample, Options, cancellationToken), () => guarded.Fit(sample, Options, cancellationToken));
    }

    private static double GammaLoop(LifeSample sample, double shape, double scale)
    {
        var q = 1 / Math.Sqrt(shape);
        var mu = Math.Log(shape) + Math.Log(scale);
        double sum = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            var log = Math.Log(sample.LowerHours[i]);
            sum += sample.Counts[i] * (sample.Outcomes[i] == LifeOutcome.Failed
                ? StandardLogGamma.LogDensity((log - mu) / q, q) - Math.Log(q) - log
                : StandardLogGamma.LogSurvival((log - mu) / q, q));
        }

        return sum;
    }

    private static void Compare(Action<Figure> report, string name, int times, Action direct, Action through)
    {
        var (least, most) = (new double[Runs], new double[Runs]);
        for (var run = -5; run < Runs; run++)
        {
            var first = Milliseconds(direct, times);
            var second = Milliseconds(through, times);
            if (run >= 0)
                (least[run], most[run]) = (first, second);
        }

        Array.Sort(least);
        Array.Sort(most);
        report(new($"{name}: without the contract", least[Runs / 2] / times, "ms"));
        report(new($"{name}: through it", most[Runs / 2] / times, "ms"));
        report(new($"{name}: added", 100 * (most[Runs / 2] / least[Runs / 2] - 1), "%", Target.Most(5)));
    }

    private static double Milliseconds(Action work, int times)
    {
        var start = Stopwatch.GetTimestamp();
        for (var i = 0; i < times; i++)
            work();
        return Stopwatch.GetElapsedTime(start).TotalMilliseconds;
    }
}
