using MathNet.Numerics.Distributions;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.Fitting;

namespace Reliability.Engine.Tests.Prediction;

public sealed class PredictionPropertyTests
{
    private static readonly string[] Models = ["weibull", "lognormal", "loglogistic", "exponential"];
    private static readonly double[] Fractions = [1e-4, 0.025, 0.1, 0.5, 0.9, 0.975];

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    private static Estimable<IPredictiveLife> Predict(string model, LifeSample sample, params LifeSample[] sameShape) =>
        Predictor(model).Predict(sample, sameShape, FitOptions.Default, Token);

    private static ILifePredictor Predictor(string model) =>
        Assert.IsAssignableFrom<ILifePredictor>(BuiltInLifeModels.CreateCatalog().Models.Single(m => m.Description.Id == model));

    private static LifeSample Times(LifeSample sample, double factor)
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < sample.RowCount; i++)
        {
            var (lower, upper) = (sample.LowerHours[i] * factor, sample.UpperHours[i] * factor);
            var (entry, count) = (sample.EntryHours[i] * factor, sample.Counts[i]);
            _ = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => builder.AddFailed(lower, entry, count),
                LifeOutcome.Survived => builder.AddSurvived(lower, entry, count),
                _ => builder.AddBetween(lower, upper, entry, count),
            };
        }

        return builder.Build();
    }

    private static LifeSample Failed(params IEnumerable<double> hours)
    {
        var builder = new LifeSampleBuilder();
        foreach (var at in hours)
            builder.AddFailed(at);
        return builder.Build();
    }

    [Theory]
    [InlineData("weibull")]
    [InlineData("lognormal")]
    [InlineData("exponential")]
    public void Quantiles_rise_with_the_fraction_and_invert_the_survival_at_any_age(string model) =>
        RandomSamples.Ordinary.Cases(10, sample =>
        {
            var life = Predict(model, sample).Value;
            foreach (var age in new[] { 0, 0.3 * sample.OldestHours, sample.OldestHours, 2 * sample.OldestHours })
            {
                double last = 0;
                foreach (var fraction in Fractions)
                {
                    if (life.RemainingLife(age, fraction) is not { } hours)
                        continue;
                    Assert.True(double.IsFinite(hours) && hours > last);
                    Assert.Equal(1 - fraction, life.Survival(age, hours), 1e-8);
                    Assert.InRange(life.Survival(age, hours * 1.01), 0, life.Survival(age, hours));
                    last = hours;
                }
            }
        });

    [Theory]
    [InlineData("weibull")]
    [InlineData("lognormal")]
    [InlineData("loglogistic")]
    public void Times_in_another_unit_give_the_same_hours_in_that_unit(string model) =>
        RandomSamples.Ordinary.Cases(12, sample =>
        {
            var (one, other) = (Predict(model, sample).Value, Predict(model, Times(sample, 1e4)).Value);
            foreach (var fraction in Fractions)
            {
                if (one.RemainingLife(sample.OldestHours / 2, fraction) is not { } hours)
                    continue;
                Assert.Equal(1, other.RemainingLife(sample.OldestHours / 2 * 1e4, fraction)!.Value / (hours * 1e4), 1e-8);
            }
        });

    [Theory]
    [InlineData("weibull")]
    [InlineData("lognormal")]
    public void Intervals_are_wider_than_with_the_parameters_taken_as_known(string model) =>
        RandomSamples.Ordinary.Cases(10, sample =>
        {
            var life = Predict(model, sample).Value;
            var fit = BuiltInLifeModels.CreateCatalog().Models.Single(m => m.Description.Id == model)
                .Fit(sample, FitOptions.Default with { BoundsMethod = BoundsMethod.NormalApproximation }, Token).Value;
            var age = sample.OldestHours / 2;
            double Plain(double fraction) => fit.RemainingLife(age, fraction, Token).Value!.Value;

            Assert.True(life.RemainingLife(age, 0.975) is not { } most || most > Plain(0.975));
            Assert.True(
                life.RemainingLife(age, 0.95) is not { } upper
                || upper / life.RemainingLife(age, 0.05)!.Value > Plain(0.95) / Plain(0.05));
        });

    [Fact]
    public void A_complete_lognormal_sample_predicts_by_Students_t()
    {
        // (log T - mean) / (s sqrt(1 + 1/n)) is Student's t with n - 1 degrees of freedom (Lawless 2003, ch. 5; chapter from memory).
        double[] hours = [32, 55, 61, 90, 118, 240, 75];
        var logs = hours.Select(x => Math.Log(x)).ToArray();
        var mean = logs.Average();
        var error = Math.Sqrt(logs.Sum(x => (x - mean) * (x - mean)) / (logs.Length - 1) * (1 + 1.0 / logs.Length));
        var life = Predict("lognormal", Failed(hours)).Value;

        foreach (var fraction in new[] { 0.01, 0.025, 0.5, 0.9, 0.975, 0.999 })
        {
            var exact = Math.Exp(mean + error * StudentT.InvCDF(0, 1, logs.Length - 1, fraction));
            Assert.Equal(1, life.RemainingLife(0, fraction)!.Value / exact, 1e-6);
        }
    }

    // The limits are those of docs/validation/prediction.md, "Where the product's rule is outside".
    [Theory]
    [InlineData(9, 0, true)]
    [InlineData(10, 0, false)]
    [InlineData(10, 5, false)]
    [InlineData(14, 8, true)]
    [InlineData(15, 15, false)]
    public void Few_failures_or_mostly_late_ones_are_warned_of(int failures, int late, bool warned)
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < failures; i++)
            builder.AddFailed(100 + 40 * i, i < late ? 20 : 0);

        var life = Predict("weibull", builder.Build()).Value;

        Assert.Equal(warned, life.Warnings.Any(w => w.Code == WarningCodes.PredictionLimited));
    }

    [Fact]
    public void Under_a_held_shape_of_one_the_chance_is_a_power()
    {
        // Given r failures in S hours and the Poisson rate's prior 1/sqrt(rate), R(t) = (1 + t / S)^-(r + 1/2).
        var sample = new LifeSampleBuilder().AddSurvived(1000).AddSurvived(500).Build();
        var options = FitOptions.Default with { FixedParameters = new Dictionary<string, double> { ["shape"] = 1 } };

        var none = Predictor("weibull").Predict(sample, [], options, Token).Value;
        var exponential = Predict("exponential", sample).Value;

        Assert.Equal(Math.Pow(1 + 300 / 1500.0, -0.5), none.Survival(100, 300), 1e-12);
        Assert.Equal(none.Survival(0, 300), exponential.Survival(0, 300), 1e-12);
    }

    [Theory]
    [InlineData("weibull")]
    [InlineData("lognormal")]
    public void A_shared_shape_does_not_depend_on_the_other_samples_scale_and_is_uncertain_like_them(string model)
    {
        var own = new LifeSampleBuilder().AddFailed(400).AddSurvived(650).AddSurvived(700).Build();
        double[] few = [100, 160, 240], many = [.. Enumerable.Range(1, 60).Select(i => 100 * Math.Pow(-Math.Log(1 - i / 61.0), 0.5))];

        var one = Predict(model, own, Failed(few)).Value;
        var other = Predict(model, own, Times(Failed(few), 37)).Value;
        var sure = Predict(model, own, Failed(many)).Value;

        foreach (var fraction in Fractions)
        {
            var hours = one.RemainingLife(300, fraction);
            Assert.True(hours is null == other.RemainingLife(300, fraction) is null);
            if (hours is { } finite)
                Assert.Equal(1, other.RemainingLife(300, fraction)!.Value / finite, 1e-6);
        }

        Assert.True(sure.RemainingLife(300, 0.975) < one.RemainingLife(300, 0.975));
    }

    [Theory]
    [InlineData("weibull")]
    [InlineData("lognormal")]
    public void Intervals_that_narrow_onto_points_predict_like_points(string model)
    {
        double[] hours = [32, 55, 61, 90, 118, 240];
        var points = new LifeSampleBuilder();
        var intervals = new LifeSampleBuilder();
        foreach (var at in hours)
        {
            points.AddFailed(at);
            intervals.AddBetween(at * (1 - 1e-7), at * (1 + 1e-7));
        }

        points.AddSurvived(250);
        intervals.AddSurvived(250);
        var (one, other) = (Predict(model, points.Build()).Value, Predict(model, intervals.Build()).Value);
        foreach (var fraction in Fractions)
            Assert.Equal(1, other.RemainingLife(100, fraction)!.Value / one.RemainingLife(100, fraction)!.Value, 1e-5);
    }

    [Fact]
    public void Counts_are_so_many_rows()
    {
        var counted = new LifeSampleBuilder().AddFailed(100, 0, 2).AddFailed(150, 20, 3).AddSurvived(300, 50, 4).Build();
        var rows = new LifeSampleBuilder();
        for (var i = 0; i < 4; i++)
        {
            if (i < 2)
                rows.AddFailed(100);
            if (i < 3)
                rows.AddFailed(150, 20);
            rows.AddSurvived(300, 50);
        }

        Assert.Equal(
            1, Predict("weibull", counted).Value.RemainingLife(100, 0.3)!.Value / Predict("weibull", rows.Build()).Value.RemainingLife(100, 0.3)!.Value, 1e-9);
    }

    [Fact]
    public void Too_few_failures_are_said_so()
    {
        var one = new LifeSampleBuilder().AddFailed(100).AddSurvived(200).Build();

        Assert.Equal(NotEstimableReasons.NoFailures, Predict("weibull", one).NotEstimable!.Reason);
        Assert.Equal(NotEstimableReasons.NoFailures, Predict("weibull", one, one).NotEstimable!.Reason);
        Assert.Equal(NotEstimableReasons.NoObservations, Predict("weibull", LifeSample.Empty).NotEstimable!.Reason);
        Assert.Equal(NotEstimableReasons.AllFailuresAtGreatestTime, Predict("weibull", Failed(100, 100)).NotEstimable!.Reason);
        Assert.NotNull(Predict("weibull", one, Failed(100, 170)).Value);
    }

    [Fact]
    public void Nonsense_is_refused_by_argument()
    {
        var life = Predict("weibull", Failed(100, 170, 250)).Value;

        Assert.Throws<ArgumentOutOfRangeException>(() => life.Survival(-1, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => life.Survival(1, double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => life.RemainingLife(double.PositiveInfinity, 0.5));
        Assert.Throws<ArgumentOutOfRangeException>(() => life.RemainingLife(1, 0));
        Assert.Throws<ArgumentOutOfRangeException>(() => life.RemainingLife(1, 1));
    }
}
