using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Prediction;

namespace Reliability.Engine.Tests.Prediction;

/// <summary>
/// Lives that all entered late leave posteriors with long tails: predictions from them against a double integral over log u and v written
/// out here, with distributions of MathNet.Numerics, on nodes far denser and farther out than the engine's.
/// </summary>
public sealed class LateEntryPredictionTests
{
    private static readonly (double Entry, double End, bool Failed)[] Lives =
    [
        (100, 180, true), (150, 260, true), (90, 210, true), (200, 420, true), (250, 300, true), (120, 160, true), (300, 500, true),
        (180, 500, false), (240, 450, false), (310, 500, false), (60, 480, false), (400, 500, false),
    ];

    [Theory]
    [InlineData("lognormal", 12)]
    [InlineData("loglogistic", 12)]
    [InlineData("lognormal", 4)]
    [InlineData("loglogistic", 4)]
    public void Predictions_of_lives_that_all_entered_late_are_right_to_their_digits(string model, int lives)
    {
        // All twelve, or three failures and one survivor.
        var rows = lives == 12 ? Lives : [Lives[0], Lives[1], Lives[3], Lives[8]];
        var builder = new LifeSampleBuilder();
        foreach (var (entry, end, failed) in rows)
            _ = failed ? builder.AddFailed(end, entry) : builder.AddSurvived(end, entry);
        var sample = builder.Build();
        var likelihood = model == "lognormal"
            ? LogTimeLikelihood.Create<StandardNormal>(sample)
            : LogTimeLikelihood.Create<StandardLogistic>(sample);

        var life = LocationScalePredictor.Predict(
            [(likelihood, sample)], Termination.Unspecified, new PriorTilt(0, 0, 2), TestContext.Current.CancellationToken).Value;

        (double Age, double Further)[] asked = [(0, 200), (300, 50), (300, 400), (500, 5000)];
        var expected = Survivals(model == "lognormal", rows, asked);
        for (var i = 0; i < asked.Length; i++)
            Assert.Equal(expected[i], life.Survival(asked[i].Age, asked[i].Further), 1e-7);
    }

    /// <summary>The mean of S(age + further) / S(age) under u^-1 x likelihood x (watched share of the hazard)^2 over d log u dv.</summary>
    private static double[] Survivals(bool isNormal, (double Entry, double End, bool Failed)[] rows, (double Age, double Further)[] asked)
    {
        double LogS(double z) => isNormal ? LogNormalTail(z) : z > 30 ? -z : -Math.Log(1 + Math.Exp(z));
        double LogF(double z) => isNormal ? -z * z / 2 - Math.Log(2 * Math.PI) / 2 : LogS(z) + LogS(-z);
        double X(double hours) => Math.Log(hours / 250);

        double total = 0;
        var sums = new double[asked.Length];
        for (var logU = -16.0; logU < 4; logU += 0.12)
        {
            var u = Math.Exp(logU);
            for (var s = -6.0; s < 36; s += 0.08)
            {
                var v = Math.Sinh(s);
                double log = 0, before = 0, all = 0;
                foreach (var (entry, end, failed) in rows)
                {
                    var (z, atEntry) = (u * X(end) + v, LogS(u * X(entry) + v));
                    var atEnd = LogS(z);
                    log += (failed ? logU + LogF(z) : atEnd) - atEntry;
                    (before, all) = (before - atEntry, all - atEnd);
                }

                // Far out the difference is rounding, and its mass none.
                if (!(all - before > 1e-13 * all))
                    continue;
                var weight = Math.Exp(log - logU + 2 * Math.Log((all - before) / all) + Math.Log(Math.Cosh(s)) - 20);
                total += weight;
                for (var i = 0; i < asked.Length; i++)
                {
                    var now = asked[i].Age == 0 ? 0 : LogS(u * X(asked[i].Age) + v);
                    sums[i] += weight * Math.Exp(LogS(u * X(asked[i].Age + asked[i].Further) + v) - now);
                }
            }
        }

        return Array.ConvertAll(sums, sum => sum / total);
    }

    /// <summary>log of the upper normal tail; beyond 25 by its asymptotic series (Abramowitz and Stegun 26.2.12).</summary>
    private static double LogNormalTail(double z)
    {
        if (z < 25)
            return Math.Log(0.5 * MathNet.Numerics.SpecialFunctions.Erfc(z / Math.Sqrt(2)));
        var w = 1 / (z * z);
        return -z * z / 2 - Math.Log(z * Math.Sqrt(2 * Math.PI)) + Math.Log(1 - w * (1 - w * (3 - w * (15 - w * 105))));
    }
}
