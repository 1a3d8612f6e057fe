using Reliability.Benchmarks.Harness;
using Reliability.Engine;
using Reliability.Engine.Abstractions;

namespace Reliability.Benchmarks.Fits;

/// <summary>Time to fit the default life model to samples of growing size, 60 % survived, parameters without bounds.</summary>
internal sealed class FitSubject : ISubject
{
    public string Name => "fits";

    public string Description => "life model fitted to 10^3, 10^5 and 10^6 lives; calibrated bounds at 200 lives";

    public Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        var catalog = BuiltInLifeModels.CreateCatalog();
        foreach (var (lives, runs) in new[] { (1_000, 51), (100_000, 11), (1_000_000, 5) })
        {
            var sample = Simulate(lives, seed: 20261125);
            Estimable<IFittedLife>? fit = null;
            var milliseconds = Stopclock.MedianMilliseconds(
                () => fit = catalog.Default.Fit(sample, FitOptions.Default, cancellationToken), runs);
            report(new Figure($"{catalog.Default.Description.Id}, {lives:N0} lives, fit", milliseconds, "ms"));
            var fitted = fit!.Value;
            var bounds = Stopclock.MedianMilliseconds(() =>
            {
                fitted.Mean(cancellationToken);
                fitted.PercentileLife(0.1, cancellationToken);
            }, runs);
            report(new Figure($"{catalog.Default.Description.Id}, {lives:N0} lives, bounds of mean and B10", bounds, "ms"));
        }

        CalibratedCost.Report(catalog.Default, report, cancellationToken);
        return Task.CompletedTask;
    }

    // Weibull lives of shape 2 and scale 1,000 h, each stopped at an own age so that about 60 % survive.
    private static LifeSample Simulate(int lives, int seed)
    {
        var random = new Random(seed);
        var builder = new LifeSampleBuilder(lives);
        for (var life = 0; life < lives; life++)
        {
            var failure = 1_000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
            var stop = 1_500 * random.NextDouble();
            if (failure <= stop)
                builder.AddFailed(failure);
            else
                builder.AddSurvived(stop);
        }

        return builder.Build();
    }
}
