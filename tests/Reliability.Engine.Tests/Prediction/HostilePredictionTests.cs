using System.Globalization;
using CsCheck;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.Fitting;

namespace Reliability.Engine.Tests.Prediction;

/// <summary>
/// A thousand hostile samples, each to one model in one way: alone, sharing its shape with itself, or with the shape held. What comes back is a
/// reason, or chances and hours that are numbers, in order. Work is bounded by looks at the likelihood (<see cref="Engine.Prediction.QuadratureLayer"/>),
/// which the slowest cases reach. <c>RELIABILITY_HOSTILE_SAMPLES=1000</c> sends so many of either kind to every model in every way.
/// </summary>
public sealed class HostilePredictionTests
{
    private const int OfEach = 500;

    private static readonly double[] Fractions = [1e-4, 0.1, 0.975];

    // The models in their ways; those with the shape held cost little.
    private static readonly (string Model, bool IsShared, double? Held)[] Ways =
    [
        ("weibull", false, null), ("lognormal", false, 0.5), ("loglogistic", true, null), ("exponential", false, null), ("weibull", false, 2),
        ("lognormal", false, null), ("loglogistic", false, 3), ("exponential", true, null), ("weibull", true, null), ("lognormal", false, 2),
        ("loglogistic", false, null), ("weibull", false, 0.3), ("lognormal", true, null), ("loglogistic", false, 20), ("weibull", false, 20),
        ("lognormal", false, 0.1),
    ];

    private static int? OnDemand =>
        int.TryParse(
            Environment.GetEnvironmentVariable("RELIABILITY_HOSTILE_SAMPLES"), NumberStyles.None, CultureInfo.InvariantCulture, out var samples)
            ? samples
            : null;

    [Theory]
    [InlineData("hostile", 0)]
    [InlineData("extreme", 5000)]
    public void Predictions_are_numbers_in_order_or_a_reason(string kind, int first)
    {
        var answered = 0;
        var turn = 0;
        (kind == "hostile" ? RandomSamples.Hostile : RandomSamples.Extreme).Cases(
            OnDemand ?? OfEach,
            sample =>
            {
                foreach (var way in OnDemand is null ? [Ways[turn % Ways.Length]] : Ways)
                    answered += Answers(way, sample, (turn / Ways.Length % 3) switch { 0 => 0, 1 => sample.OldestHours, _ => 1e12 });
                turn++;
            },
            first);

        Assert.True(answered > OfEach / 4, $"Only {answered} samples had a prediction.");
    }

    private static int Answers((string Model, bool IsShared, double? Held) way, LifeSample sample, double age)
    {
        var model = BuiltInLifeModels.CreateCatalog().Models.Single(m => m.Description.Id == way.Model);
        var options = way.Held is { } held
            ? FitOptions.Default with
            {
                FixedParameters = new Dictionary<string, double> { [model.Description.Capabilities.FixableParameters.Single()] = held },
            }
            : FitOptions.Default;
        if (!((ILifePredictor)model).Predict(sample, way.IsShared ? [sample] : [], options, TestContext.Current.CancellationToken)
            .TryGet(out var life, out var reason))
        {
            Assert.NotEmpty(reason.Reason);
            Assert.NotEmpty(reason.Text);
            return 0;
        }

        Assert.InRange(life.Survival(age, sample.OldestHours), 0, 1);
        Assert.InRange(life.Survival(age, double.MaxValue), 0, life.Survival(age, sample.OldestHours) + 1e-12);
        double last = 0;
        foreach (var fraction in Fractions)
        {
            if (life.RemainingLife(age, fraction) is not { } hours)
                continue;
            Assert.True(hours < double.PositiveInfinity && hours >= last * (1 - 1e-6), $"{way}: {fraction} at {age}: {hours:R} after {last:R}");
            last = hours;
        }

        return 1;
    }
}
