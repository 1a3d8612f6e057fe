using Reliability.Benchmarks.Harness;
using Reliability.Engine;
using Reliability.Engine.Abstractions;

namespace Reliability.Benchmarks.Predictions;

/// <summary>
/// What one prediction costs in the engine: the predictive distribution of 200 lives, half of which fail, and five quantiles of the hours
/// left at one age. In closed form over a grid of shapes for Weibull lives of known ages, else by quadrature over both parameters.
/// </summary>
internal static class PredictionCost
{
    private const int Lives = 200, Runs = 51;

    private static readonly double[] Fractions = [0.025, 0.1, 0.5, 0.9, 0.975];

    public static void Report(Action<Figure> report, CancellationToken cancellationToken)
    {
        var catalog = BuiltInLifeModels.CreateCatalog();
        foreach (var (model, what, sample) in new[]
                 {
                     ("weibull", "known ages", Sample(found: false)),
                     ("weibull", "failures between visits", Sample(found: true)),
                     ("lognormal", "known ages", Sample(found: false)),
                     ("loglogistic", "known ages", Sample(found: false)),
                 })
        {
            if (!catalog.TryGet(model, out var life) || life is not ILifePredictor predictor)
                throw new InvalidOperationException($"{model} does not predict.");
            var milliseconds = Stopclock.MedianMilliseconds(
                () =>
                {
                    var predictive = predictor.Predict(sample, [], FitOptions.Default, cancellationToken).Value;
                    foreach (var fraction in Fractions)
                        predictive.RemainingLife(500, fraction);
                },
                Runs);
            report(new Figure($"one prediction in the engine, {Lives} lives, {model}, {what}", milliseconds, "ms"));
        }
    }

    // Weibull lives of shape 2 and scale 1,000 h, stopped at ages spread over 600 to 1,050 h; found at visits every 100 h.
    private static LifeSample Sample(bool found)
    {
        var random = new Random(20261128);
        var builder = new LifeSampleBuilder(Lives);
        for (var i = 0; i < Lives; i++)
        {
            var life = 1_000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
            var end = 600 + 450 * (i + 0.5) / Lives;
            var visit = 100 * Math.Floor(life / 100);
            _ = life > end ? builder.AddSurvived(end) : found ? builder.AddBetween(visit, visit + 100) : builder.AddFailed(life);
        }

        return builder.Build();
    }
}
