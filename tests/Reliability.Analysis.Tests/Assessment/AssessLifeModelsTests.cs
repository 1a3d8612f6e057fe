using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Analysis.Tests.Assessment;

public sealed class AssessLifeModelsTests
{
    private static readonly ILifeModelCatalog Catalog = BuiltInLifeModels.CreateCatalog();
    private static readonly AssessLifeModels Assess = new(Catalog);
    private static readonly CohortSample Nist = CohortSample.Inline(Published.Nist());

    /// <summary>NIST/SEMATECH e-Handbook 8.4.1.3 prints AIC 154.27 for the Weibull and 154.39 for the lognormal.</summary>
    [Fact]
    public void Nist_handbook_criteria_as_printed_and_no_winner()
    {
        var answer = Assess.Answer(
            Nist, new() { LifeModels = ["weibull", "lognormal"] }, TestContext.Current.CancellationToken);

        Assert.Equal(154.27, Math.Round(answer.Models[0].Fit.Value.GoodnessOfFit!.Aic, 2));
        Assert.Equal(154.39, Math.Round(answer.Models[1].Fit.Value.GoodnessOfFit!.Aic, 2));
        Assert.Equal(0, answer.Models[0].AiccDifference);
        Assert.Equal(0.12, answer.Models[1].AiccDifference!.Value, 0.01);
        Assert.Null(answer.BestLifeModel);
        Assert.Contains("cannot tell weibull, lognormal apart", answer.Verdict, StringComparison.Ordinal);
        Assert.Empty(answer.Tests);
    }

    [Fact]
    public void Models_are_tested_within_wider_ones()
    {
        var answer = Assess.Answer(Nist, new(), TestContext.Current.CancellationToken);

        Assert.Equal(Catalog.Models.Select(m => m.Description.Id), answer.Models.Select(m => m.LifeModel));
        var test = answer.Tests.Single(t => t is { LifeModel: "exponential", WiderLifeModel: "weibull" });
        double LogLikelihood(string id) => answer.Models.Single(m => m.LifeModel == id).Fit.Value.LogLikelihood!.Value;
        Assert.Equal(2 * (LogLikelihood("weibull") - LogLikelihood("exponential")), test.Statistic!.Value, 1e-9);
        Assert.Equal(1, test.DegreesOfFreedom);
        Assert.Equal(2, answer.Tests.Single(t => t is { LifeModel: "exponential", WiderLifeModel: "generalized-gamma" }).DegreesOfFreedom);
        Assert.All(answer.Tests, t => Assert.True(t.PValue is >= 0 and <= 1));
    }

    /// <summary>Chi-square tails: 5 % points as in any table (3.8415, 5.9915, 7.8147), and far out.</summary>
    [Theory]
    [InlineData(1, 3.841458820694124, 0.05)]
    [InlineData(2, 5.991464547107979, 0.05)]
    [InlineData(3, 7.814727903251179, 0.05)]
    [InlineData(4, 9.487729036781154, 0.05)]
    [InlineData(1, 10.827566170662733, 0.001)]
    [InlineData(1, 0.0001570878579097, 0.99)]
    public void Chi_square_tails(int degrees, double statistic, double tail) =>
        Assert.Equal(tail, ChiSquareTail.Of(degrees, statistic), 1e-9);

    /// <summary>An exponential life has no memory: watched from 1,000 h on, the same hours later are as far from it as from the start.</summary>
    [Fact]
    public void Distance_of_lives_that_all_entered_late_is_the_one_from_the_first_entry()
    {
        Catalog.TryGet("exponential", out var exponential);
        var (fromStart, late) = (Distance(0), Distance(1_000));
        Assert.Equal(fromStart.AndersonDarling, late.AndersonDarling, 1e-12);
        Assert.Equal(fromStart.Kolmogorov, late.Kolmogorov, 1e-12);

        (double AndersonDarling, double Kolmogorov) Distance(double entry)
        {
            var builder = new LifeSampleBuilder();
            foreach (var h in (double[])[100, 250, 400, 800, 1500])
                builder.AddFailed(entry + h, entry);
            var sample = builder.Build();
            var points = Catalog.Nonparametric.Estimate(sample, 0.95, TestContext.Current.CancellationToken).Value.Points;
            return FitDistance.Of(points, exponential!.Family!, [600], 5, sample.EarliestEntryHours)!.Value;
        }
    }

    /// <summary>Exact distance by definition: uniform order statistics of a complete sample, Anderson and Darling's sum.</summary>
    [Fact]
    public void Distance_of_a_complete_sample_up_to_its_last_failure()
    {
        double[] hours = [100, 250, 400, 800, 1500];
        var builder = new LifeSampleBuilder();
        foreach (var h in hours)
            builder.AddFailed(h);
        var sample = builder.Build();
        Catalog.TryGet("exponential", out var exponential);
        var points = Catalog.Nonparametric.Estimate(sample, 0.95, TestContext.Current.CancellationToken).Value.Points;
        var (ad, ks) = FitDistance.Of(points, exponential!.Family!, [600], 5, 0)!.Value;

        // The integral by brute force, and the greatest distance at the steps.
        double F(double t) => 1 - Math.Exp(-t / 600);
        double sum = 0, greatest = 0;
        const int Steps = 2_000_000;
        var end = F(1500);
        for (var i = 0; i < Steps; i++)
        {
            var u = (i + 0.5) * end / Steps;
            var step = hours.Count(h => F(h) <= u) / 5.0;
            sum += (step - u) * (step - u) / (u * (1 - u)) * end / Steps;
            greatest = Math.Max(greatest, Math.Abs(step - u));
        }

        Assert.Equal(5 * sum, ad, 1e-5);
        Assert.Equal(Math.Sqrt(5) * Math.Max(greatest, 1 - end), ks, 1e-5);
    }

    /// <summary>Lives of the model pass, lives of another do not; the seed decides, not the threads.</summary>
    [Fact]
    public void Simulation_tells_a_wrong_model_and_repeats_itself()
    {
        // 60 quantiles of a Weibull with shape 3: the exponential is plainly wrong, the Weibull as right as can be.
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 60; i++)
        {
            var t = 1000 * Math.Pow(-Math.Log(1 - (i + 0.5) / 60), 1.0 / 3);
            _ = i % 4 == 3 ? builder.AddSurvived(t * 0.9) : builder.AddFailed(t);
        }

        var lives = CohortSample.Inline(builder.Build());
        var question = new AssessmentQuestion { LifeModels = ["weibull", "exponential"], Replicates = 199, OfEach = new() { Seed = 7 } };
        var answer = Assess.Answer(lives, question, TestContext.Current.CancellationToken);
        var again = Assess.Answer(lives, question, TestContext.Current.CancellationToken);

        var (right, wrong) = (answer.Models[0].FitTest!.Value, answer.Models[1].FitTest!.Value);
        Assert.True(right.AndersonDarlingPValue > 0.2, $"{right}");
        Assert.True(wrong.AndersonDarlingPValue < 0.02, $"{wrong}");
        Assert.True(wrong.KolmogorovPValue < 0.02, $"{wrong}");
        Assert.Equal(199, right.Replicates + right.ReplicatesWithoutFit);
        Assert.Contains("reverse Kaplan-Meier", right.CensoringPlan, StringComparison.Ordinal);
        Assert.Equal(right, again.Models[0].FitTest!.Value);
        Assert.Equal("weibull", answer.BestLifeModel);
    }

    /// <summary>Under the model the p-values are spread over (0, 1): of 100 samples about 10 lie below 0.1.</summary>
    [Fact]
    public void P_values_are_uniform_under_the_model()
    {
        Catalog.TryGet("weibull", out var weibull);
        var random = new Random(20261128);
        var below = 0;
        for (var k = 0; k < 100; k++)
        {
            var builder = new LifeSampleBuilder();
            for (var i = 0; i < 30; i++)
            {
                var t = 1000 * Math.Pow(-Math.Log(1 - random.NextDouble()), 0.5);
                var stop = 400 + 1400 * random.NextDouble();
                _ = t <= stop ? builder.AddFailed(t) : builder.AddSurvived(stop);
            }

            var sample = builder.Build();
            var fit = weibull!.Fit(sample, new FitOptions { BoundsMethod = BoundsMethod.NormalApproximation }, TestContext.Current.CancellationToken).Value;
            var test = BootstrapFitTest.Of(weibull, fit, sample, Catalog.Nonparametric, 99, (ulong)k, TestContext.Current.CancellationToken).Value;
            if (test.AndersonDarlingPValue < 0.1)
                below++;
        }

        // Binomial(100, 0.1): 3 to 19 holds with probability 0.995.
        Assert.InRange(below, 3, 19);
    }

    [Fact]
    public void Questions_that_can_never_be_answered_name_their_field()
    {
        string Field(AssessmentQuestion question) =>
            Assert.Throws<RequestRefusedException>(() => Assess.Answer(Nist, question)).Field;
        Assert.Equal("life_models[1]", Field(new() { LifeModels = ["weibull", "none"] }));
        Assert.Equal("life_models[1]", Field(new() { LifeModels = ["weibull", "weibull"] }));
        Assert.Equal("replicates", Field(new() { Replicates = 5001 }));
        Assert.Equal("replicates", Field(new() { Replicates = 18 }));
        Assert.Equal("confidence_level", Field(new() { OfEach = new() { ConfidenceLevel = 2 } }));
    }

    [Fact]
    public void Lives_without_failures_leave_reasons_and_no_winner()
    {
        var answer = Assess.Answer(
            CohortSample.Inline(new LifeSampleBuilder().AddSurvived(500, count: 4).Build()), new() { Replicates = 19 },
            TestContext.Current.CancellationToken);

        Assert.Null(answer.BestLifeModel);
        Assert.All(answer.Tests, t => Assert.NotNull(t.NotEstimable));
        Assert.All(answer.Models.Where(m => m.LifeModel != "exponential"), m => Assert.NotNull(m.Fit.NotEstimable));
    }

    /// <summary>AICc divides by failures - k - 1: four failures rank two parameters and not three.</summary>
    [Fact]
    public void A_fit_with_too_few_failures_for_the_criterion_is_said_to_have_no_rank()
    {
        var sample = new LifeSampleBuilder().AddFailed(500).AddFailed(800).AddFailed(900).AddFailed(950).Build();

        var answer = Assess.Answer(CohortSample.Inline(sample), new() { LifeModels = ["weibull", "weibull3"] }, TestContext.Current.CancellationToken);
        var enough = Assess.Answer(Nist, new() { LifeModels = ["weibull", "weibull3"] }, TestContext.Current.CancellationToken);

        Assert.Null(answer.Models[1].AiccDifference);
        Assert.StartsWith("weibull3: not ranked", Assert.Single(answer.Warnings, w => w.Code == AnalysisWarningCodes.NotRanked).Text, StringComparison.Ordinal);
        Assert.DoesNotContain(enough.Warnings, w => w.Code == AnalysisWarningCodes.NotRanked);
    }
}
