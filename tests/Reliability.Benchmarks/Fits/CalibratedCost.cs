using Reliability.Benchmarks.Harness;
using Reliability.Engine.Abstractions;

namespace Reliability.Benchmarks.Fits;

/// <summary>
/// What calibrated bounds cost: both bounds of shape, scale, B1, B10, mean and the reliability at an age, the fit itself included, of 200
/// lives about half of which fail.
/// </summary>
internal static class CalibratedCost
{
    private const int Lives = 200, Runs = 201, WarmUps = 200;

    private static readonly Target TwoMilliseconds = Target.Most(2);

    public static void Report(ILifeModel model, Action<Figure> report, CancellationToken cancellationToken)
    {
        var options = new FitOptions { BoundsMethod = BoundsMethod.Calibrated };
        foreach (var (plan, sample) in new[]
                 {
                     ("failure-terminated", FailureTerminated(new Random(20261128))),
                     ("time-terminated", Watched(new Random(20261128), spread: 0, late: 0)),
                     ("stopped at own ages", Watched(new Random(20261128), spread: 0.75, late: 0)),
                     ("own ages, late entry", Watched(new Random(20261128), spread: 0.75, late: 0.5)),
                 })
        {
            for (var run = 0; run < WarmUps; run++)
                Ask(sample);
            var milliseconds = Stopclock.MedianMilliseconds(() => Ask(sample), Runs);
            report(new Figure($"calibrated, 6 quantities, {Lives} lives, {plan}", milliseconds, "ms", TwoMilliseconds));
        }

        void Ask(LifeSample sample)
        {
            var fit = model.Fit(sample, options, cancellationToken).Value;
            fit.PercentileLife(0.01, cancellationToken);
            fit.PercentileLife(0.1, cancellationToken);
            fit.Mean(cancellationToken);
            fit.Reliability(500, cancellationToken);
        }
    }

    private static LifeSample FailureTerminated(Random random)
    {
        double[] ages = [.. Enumerable.Range(0, Lives).Select(_ => Life(random)).Order()];
        var builder = new LifeSampleBuilder(Lives);
        for (var i = 0; i < Lives; i++)
            _ = i < Lives / 2 ? builder.AddFailed(ages[i]) : builder.AddSurvived(ages[Lives / 2 - 1]);
        return builder.Build();
    }

    // Stopped at ages spread evenly below the greatest; of a share of the lives only what followed an age before that was watched.
    private static LifeSample Watched(Random random, double spread, double late)
    {
        var builder = new LifeSampleBuilder(Lives);
        for (var i = 0; i < Lives; i++)
        {
            var end = 830 * (1 + 0.5 * spread) * (1 - spread + spread * (i + 0.5) / Lives);
            var entry = random.NextDouble() < late ? 0.5 * end * random.NextDouble() : 0;
            double life;
            do
            {
                life = Life(random);
            }
            while (life <= entry);
            _ = life < end ? builder.AddFailed(life, entry) : builder.AddSurvived(end, entry);
        }

        return builder.Build();
    }

    // Weibull lives of shape 2 and scale 1,000 h.
    private static double Life(Random random) => 1_000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
}
