using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Analysis.Tests.Fits;

public sealed class FitLivesTests
{
    private static readonly FitLives Fits = new(BuiltInLifeModels.CreateCatalog());

    private static FitAnswer Fit(LifeSample sample, FitQuestion question) => Fits.Answer(CohortSample.Inline(sample), question, TestContext.Current.CancellationToken).Value;

    [Fact]
    public void Very_small_fractions_and_very_great_ages_are_named_in_few_digits()
    {
        var texts = string.Join(' ', Fit(Published.Nist(), new() { FailureFractions = [1e-12], ReliabilityHours = [1e308] }).Warnings.Select(w => w.Text));

        Assert.Contains("B1E-10 life", texts, StringComparison.Ordinal);
        Assert.Contains("1E+308 h", texts, StringComparison.Ordinal);
        Assert.DoesNotContain("00000000", texts, StringComparison.Ordinal);
    }

    [Fact]
    public void The_units_of_the_NIST_handbook_give_the_figures_printed_there()
    {
        // NIST/SEMATECH e-Handbook 8.4.1.3 prints shape 1.7208, scale 606.5280, mean 540.737, log-likelihood -75.135,
        // Weibull AIC 154.27, lognormal AIC 154.39. (The maximum itself is at scale 606.5276.)
        var weibull = Fit(Published.Nist(), new());
        var lognormal = Fit(Published.Nist(), new() { LifeModel = "lognormal" });

        Assert.Equal("weibull", weibull.Model.Id);
        Assert.Equal(1.7208, weibull.Parameters[0].Estimate.Value!.Value, 4);
        Assert.Equal(606.528, weibull.Parameters[1].Estimate.Value!.Value, 3);
        Assert.Equal(540.737, weibull.MeanLife.Value!.Value, 3);
        Assert.Equal(-75.135, weibull.LogLikelihood!.Value, 3);
        Assert.Equal(154.27, weibull.GoodnessOfFit!.Aic, 2);
        Assert.Equal(154.39, lognormal.GoodnessOfFit!.Aic, 2);
    }

    [Fact]
    public void Criteria_follow_their_published_formulas_with_failures_as_the_sample_size()
    {
        // AICc = AIC + 2k(k+1)/(r-k-1) (Hurvich and Tsai 1989); BIC = k log r - 2l (Volinsky and Raftery 2000); r = 10, k = 2.
        var fit = Fit(Published.Nist(), new()).GoodnessOfFit!;

        Assert.Equal(fit.Aic + (12.0 / 7), fit.Aicc!.Value, 10);
        Assert.Equal(fit.Aic - 4 + (2 * Math.Log(10)), fit.Bic!.Value, 10);
        Assert.Null(GoodnessOfFit.Of(-10, 2, 3).Aicc);
    }

    [Fact]
    public void Every_number_asked_for_is_there()
    {
        // Values of the Weibull fit recomputed with R from the handbook's units.
        var fit = Fit(Published.Nist(), new()
        {
            FailureFractions = [0.1],
            ReliabilityHours = [100, 500],
            RemainingLives = [new(300, [100])],
            BoundsMethod = BoundsMethod.LikelihoodRatio,
        });

        Assert.Equal(164.02243866001172, fit.PercentileLives.Single().Hours.Value!.Value, 1e-6);
        Assert.Equal([59.854554, 271.949518], [Rounded(fit.PercentileLives[0].Hours.Lower), Rounded(fit.PercentileLives[0].Hours.Upper)]);
        Assert.Equal(0.993011, fit.Reliability[0].Probability.Upper!.Value, 6);
        Assert.Equal(0.279121, fit.Reliability[1].Probability.Lower!.Value, 6);
        var remaining = fit.RemainingLives.Single();
        Assert.Equal(0.8263382113958033, remaining.Survival.Single().Probability.Value!.Value, 1e-8);
        Assert.Equal(303.3251114932036, remaining.MedianHours.Value!.Value, 1e-5);
        Assert.Equal(364.70435378296077, remaining.MeanHours.Value!.Value, 1e-5);

        static double Rounded(double? value) => Math.Round(value!.Value, 6);
    }

    /// <summary>Bounds of B10 and mean by r* for the handbook's units, all planned to stop at 500 h: two implementations outside this project.</summary>
    [Fact]
    public void Bounds_are_calibrated_unless_asked_for_otherwise()
    {
        var fit = Fit(Published.Nist(), new() { FailureFractions = [0.1] });

        Assert.Equal(BoundsMethod.Calibrated, fit.BoundsMethod);
        Assert.Equal(53.9831851, fit.PercentileLives[0].Hours.Lower!.Value, 1e-5);
        Assert.Equal(264.615765, fit.PercentileLives[0].Hours.Upper!.Value, 1e-4);
        Assert.Equal(BoundsMethod.LikelihoodRatio, Fit(Published.Nist(), new() { LifeModel = "gamma" }).BoundsMethod);
    }

    [Fact]
    public void Simulated_bounds_carry_replicates_seed_and_plan()
    {
        var fit = Fit(Published.Nist(), new() { BoundsMethod = BoundsMethod.Bootstrap, Replicates = 499, Seed = 7 });

        Assert.Equal(BoundsMethod.Bootstrap, fit.BoundsMethod);
        Assert.Equal((499, 7UL), (fit.Simulation!.Replicates, fit.Simulation.Seed));
        Assert.Contains("reverse Kaplan-Meier", fit.Simulation.Plan, StringComparison.Ordinal);
        Assert.Equal(Termination.TimeTerminated, fit.Plan?.Termination);
        Assert.True(fit.PercentileLives[0].Hours.Lower < fit.PercentileLives[0].Hours.Value);
        Assert.Null(Fit(Published.Nist(), new()).Simulation);
    }

    [Fact]
    public void Usual_fractions_are_given_when_none_are_named()
    {
        var fit = Fit(Published.Nist(), new());

        Assert.Equal([0.01, 0.05, 0.10, 0.50, 0.90], fit.PercentileLives.Select(p => p.FailureFraction));
        Assert.Contains(fit.Warnings, w => w.Code == WarningCodes.Extrapolation && w.Text.StartsWith("B1 life", StringComparison.Ordinal));
    }

    [Fact]
    public void Without_failures_a_held_shape_gives_lower_bounds_and_no_estimate()
    {
        // Scale bound of the zero-failure case, IEC 61649: (sum t^b / -ln(1 - C))^(1/b).
        var sample = new LifeSampleBuilder().AddSurvived(1000, count: 20).Build();
        var fit = Fit(sample, new() { FixedParameters = new Dictionary<string, double> { ["shape"] = 2 }, IncludePlot = true });

        Assert.Null(fit.LogLikelihood);
        Assert.Null(fit.GoodnessOfFit);
        var b10 = fit.PercentileLives.Single(p => p.FailureFraction == 0.1).Hours;
        var scale = Math.Sqrt(20 * 1e6 / -Math.Log(0.05));
        Assert.Null(b10.Value);
        Assert.Equal(BoundSide.Lower, b10.Side);
        Assert.Equal(scale * Math.Sqrt(-Math.Log(0.9)), b10.Lower!.Value, 1e-6);
        Assert.Empty(fit.Plot!.Marks);
        Assert.NotEmpty(fit.Plot.Line);
    }

    [Fact]
    public void Without_failures_and_without_a_held_shape_there_is_a_reason_and_no_number()
    {
        var answer = Fits.Answer(CohortSample.Inline(new LifeSampleBuilder().AddSurvived(1000).Build()), new(), TestContext.Current.CancellationToken);

        Assert.Equal(NotEstimableReasons.NoFailures, answer.NotEstimable!.Reason);
    }

    [Theory]
    [InlineData("no-such-model", "life_model", RefusalReasons.UnknownLifeModel)]
    public void An_unknown_life_model_is_refused_by_field(string id, string field, string reason)
    {
        var refusal = Assert.Throws<RequestRefusedException>(() => Fit(Published.Nist(), new() { LifeModel = id }));

        Assert.Equal((field, reason), (refusal.Field, refusal.Reason));
        Assert.Contains("weibull", refusal.Rule, StringComparison.Ordinal);
    }

    public static TheoryData<string, FitQuestion> Impossible() => new()
    {
        { "bounds_method", new() { LifeModel = "gamma", BoundsMethod = BoundsMethod.Exact } },
        { "replicates", new() { BoundsMethod = BoundsMethod.Bootstrap, Replicates = 98 } },
        { "replicates", new() { BoundsMethod = BoundsMethod.Bootstrap, ConfidenceLevel = 0.9999 } },
        { "confidence_level", new() { ConfidenceLevel = 0.4 } },
        { "confidence_level", new() { ConfidenceLevel = double.NaN } },
        { "failure_fractions[1]", new() { FailureFractions = [0.5, 1] } },
        { "failure_fractions[0]", new() { FailureFractions = [0] } },
        { "reliability_hours[0]", new() { ReliabilityHours = [double.PositiveInfinity] } },
        { "reliability_hours", new() { ReliabilityHours = new double[FitLives.GreatestQueryCount + 1] } },
        { "remaining_life_queries[0].age_hours", new() { RemainingLives = [new(-1, [])] } },
        { "remaining_life_queries[0].horizon_hours[1]", new() { RemainingLives = [new(1, [1, double.NaN])] } },
        { "fixed_parameters[scale]", new() { FixedParameters = new Dictionary<string, double> { ["scale"] = 1 } } },
        { "fixed_parameters[shape]", new() { FixedParameters = new Dictionary<string, double> { ["shape"] = -1 } } },
    };

    [Theory]
    [MemberData(nameof(Impossible), DisableDiscoveryEnumeration = true)]
    public void What_can_never_be_answered_is_refused_by_field(string field, FitQuestion question)
    {
        var refusal = Assert.Throws<RequestRefusedException>(() => Fit(Published.Nist(), question));

        Assert.Equal(field, refusal.Field);
    }

    [Fact]
    public void A_model_that_does_not_take_intervals_or_late_entry_is_told_by_its_capabilities()
    {
        var plain = new FitLives(BuiltInLifeModels.CreateCatalog(new PlainModel()));
        var between = CohortSample.Inline(new LifeSampleBuilder().AddBetween(10, 20).Build());
        var late = CohortSample.Inline(new LifeSampleBuilder().AddFailed(10, 5).Build());
        var question = new FitQuestion { LifeModel = "plain" };

        Assert.Equal(NotEstimableReasons.IntervalOutcomes, plain.Answer(between, question, TestContext.Current.CancellationToken).NotEstimable!.Reason);
        Assert.Equal(NotEstimableReasons.LateEntry, plain.Answer(late, question, TestContext.Current.CancellationToken).NotEstimable!.Reason);
    }
}
