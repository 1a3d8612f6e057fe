using System.Globalization;
using CsCheck;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>Hostile samples: never a crash, never a number that is not finite, always a typed outcome. A thousand and more in all, shared out
/// so that models whose bounds are slow take few; <c>RELIABILITY_HOSTILE_SAMPLES</c> gives each model so many.</summary>
public sealed class HostileTests
{
    private const int Many = 240, Few = 12, Fewest = 7;

    public static TheoryData<string, int> Shares()
    {
        var data = new TheoryData<string, int>();
        foreach (var model in Asked.Catalog.Models.Select(m => m.Description))
            data.Add(model.Id, OnDemand ?? (model.Capabilities.ComparesCohorts ? Many : model.Parameters.Count < 3 ? Few : Fewest));
        return data;
    }

    private static int? OnDemand =>
        int.TryParse(
            Environment.GetEnvironmentVariable("RELIABILITY_HOSTILE_SAMPLES"), NumberStyles.None, CultureInfo.InvariantCulture, out var samples)
            ? samples
            : null;

    [Fact]
    public void The_shares_are_a_thousand_in_all() => Assert.True(Shares().Sum(row => row.Data.Item2) >= 1000);

    [Theory]
    [MemberData(nameof(Shares))]
    public void Hostile_samples_get_typed_outcomes_and_finite_numbers(string id, int samples)
    {
        var model = Asked.Model(id);
        RandomSamples.Hostile.Cases(samples - samples / 2, sample => Ask(model, sample));
        RandomSamples.Extreme.Cases(samples / 2, sample => Ask(model, sample), 5000);
    }

    private static void Ask(ILifeModel model, LifeSample sample)
    {
        foreach (var options in Options(model, sample))
        {
            if (!model.Fit(sample, options).TryGet(out var life, out var reason))
            {
                Assert.False(string.IsNullOrWhiteSpace(reason.Reason) || string.IsNullOrWhiteSpace(reason.Text));
                continue;
            }

            Assert.All(life.Covariance, c => Assert.True(double.IsFinite(c)));
            Assert.True(life.LogLikelihood is null || double.IsFinite(life.LogLikelihood.Value));
            Assert.All(life.Parameters, p => FittedLifeQuestions.Finite(p.Estimate));
            foreach (var question in FittedLifeQuestions.Of(sample.OldestHours / 3))
                FittedLifeQuestions.Finite(question(life));
            foreach (var point in life.Curve([sample.OldestHours * 0.01, sample.OldestHours * 10]))
                FittedLifeQuestions.Finite(point.FailedFraction);
            foreach (var mode in life.Modes)
            {
                Assert.InRange(mode.Incidence(sample.OldestHours), 0, 1);
                FittedLifeQuestions.Finite(mode.Life.Mean());
            }
        }

        if (Asked.Catalog.Nonparametric.Estimate(sample).TryGet(out var estimate, out _))
        {
            Assert.All(estimate.Points, p => FittedLifeQuestions.Finite(p.Reliability));
            Assert.All(estimate.Points, p => FittedLifeQuestions.Finite(p.CumulativeHazard));
            FittedLifeQuestions.Finite(estimate.MedianLife);
        }
    }

    private static IEnumerable<FitOptions> Options(ILifeModel model, LifeSample sample)
    {
        var capabilities = model.Description.Capabilities;

        // Simulated bounds cost a hundred fits each: one sample in eight or so.
        foreach (var method in capabilities.BoundsMethods.Where(m => m != BoundsMethod.Bootstrap || sample.RowCount % 8 == 0))
            yield return new FitOptions { BoundsMethod = method, Replicates = FitOptions.FewestReplicates };
        foreach (var name in capabilities.FixableParameters)
        {
            foreach (var value in (double[])[0.2, 2, 20])
                yield return new FitOptions { FixedParameters = new Dictionary<string, double> { [name] = value } };
        }
    }
}
