using System.Globalization;
using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Analysis.Tests.Assessment;

/// <summary>What a single fit tells of how well it fits, and of its failure modes.</summary>
public sealed class GoodnessOfFitTests
{
    private static readonly ILifeModelCatalog Catalog = BuiltInLifeModels.CreateCatalog();
    private static readonly FitLives Fits = new(Catalog);

    private static FitAnswer Fit(LifeSample sample, FitQuestion question) =>
        Fits.Answer(CohortSample.Inline(sample), question, TestContext.Current.CancellationToken).Value;

    [Fact]
    public void Cox_Snell_residuals_are_the_fitted_cumulative_hazard_and_sum_to_the_failures()
    {
        var sample = Published.Nist();
        var fit = Fit(sample, new() { IncludeResiduals = true });

        // (t/scale)^shape with the figures that the handbook prints; the likelihood equation of the scale makes them sum to the failures.
        Assert.Equal(Math.Pow(54 / 606.528, 1.7208), fit.Residuals[0].Value, 1e-5);
        Assert.Equal(10, fit.Residuals.Sum(r => r.Count * r.Value), 1e-8);
        Assert.Equal(sample.RowCount, fit.Residuals.Count);

        // Nelson and Aalen: at the first of 20 lives 1/20, at the second 1/20 + 1/19.
        Assert.Equal(1.0 / 20, fit.Residuals[0].CumulativeHazard!.Value, 1e-12);
        Assert.Equal(1.0 / 20 + 1.0 / 19, fit.Residuals[1].CumulativeHazard!.Value, 1e-12);
        Assert.All(fit.Residuals.Where(r => r.Survived), r => Assert.Null(r.CumulativeHazard));
    }

    [Fact]
    public void Residuals_of_intervals_and_late_entry_have_both_ends()
    {
        var sample = new LifeSampleBuilder().AddBetween(50, 120, 20).AddFailed(200).AddFailed(320, 100).AddSurvived(400, count: 3).Build();
        var fit = Fit(sample, new() { IncludeResiduals = true });
        var (shape, scale) = (fit.Parameters[0].Estimate.Value!.Value, fit.Parameters[1].Estimate.Value!.Value);

        Assert.Equal(Math.Pow(50 / scale, shape), fit.Residuals[0].Value, 1e-12);
        Assert.Equal(Math.Pow(120 / scale, shape), fit.Residuals[0].UpperValue!.Value, 1e-12);
        Assert.Equal(Math.Pow(20 / scale, shape), fit.Residuals[0].EntryValue, 1e-12);
        Assert.All(fit.Residuals, r => Assert.Null(r.CumulativeHazard));
    }

    [Fact]
    public void A_fit_is_tested_by_simulation_as_in_an_assessment_and_says_how_ends_were_drawn()
    {
        var assessed = new AssessLifeModels(Catalog).Answer(
            CohortSample.Inline(Published.Nist()), new() { LifeModels = ["weibull"], Replicates = 60, OfEach = new() { Seed = 5 } },
            TestContext.Current.CancellationToken);
        var test = Fit(Published.Nist(), new() { TestReplicates = 60, Seed = 5 }).FitTest!.Value;

        Assert.Equal(assessed.Models[0].FitTest!.Value, test);
        Assert.Contains("10 failed lives", test.CensoringPlan, StringComparison.Ordinal);
        Assert.Null(Fit(Published.Nist(), new()).FitTest);
        var refused = Assert.Throws<RequestRefusedException>(() => Fit(Published.Nist(), new() { TestReplicates = 5001 }));
        Assert.Equal("fit_test_replicates", refused.Field);
        refused = Assert.Throws<RequestRefusedException>(() => Fit(Published.Nist(), new() { TestReplicates = 5 }));
        Assert.Equal("fit_test_replicates", refused.Field);
    }

    [Fact]
    public void Failure_modes_come_with_their_fits_and_are_not_ranked_among_other_models()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 1; i <= 20; i++)
            builder.AddFailed(100 * i, failureMode: i % 2 == 0 ? "seal" : "bearing");
        var sample = builder.AddSurvived(2500, count: 5).Build();

        var fit = Fit(sample, new() { LifeModel = "weibull-competing", ReliabilityHours = [1000], TestReplicates = 20 });

        Assert.Equal(["bearing", "seal"], fit.FailureModes.Select(m => m.Name));
        Assert.Equal(["shape[bearing]", "scale[bearing]", "shape[seal]", "scale[seal]"], fit.Parameters.Select(p => p.Name));
        Assert.Equal(
            1, fit.Reliability[0].Probability.Value!.Value + fit.FailureModes.Sum(m => m.Incidences.Single().FailureFraction), 1e-8);
        Assert.Equal(fit.LogLikelihood!.Value, fit.FailureModes.Sum(m => m.LogLikelihood!.Value), 1e-9);
        Assert.Equal(AnalysisWarningCodes.NoFitTest, fit.FitTest!.NotEstimable!.Reason);

        var answer = new AssessLifeModels(Catalog).Answer(
            CohortSample.Inline(sample), new() { LifeModels = ["weibull", "lognormal", "weibull-competing"] }, TestContext.Current.CancellationToken);
        Assert.Null(answer.Models[2].AiccDifference);
        Assert.Equal(4, answer.Models[2].EstimatedParameters);
        Assert.Contains(answer.Warnings, w => w.Code == AnalysisWarningCodes.ModesNotRanked);
    }

    [Fact]
    public void The_Weibull_lies_at_the_border_of_the_one_with_location()
    {
        var answer = new AssessLifeModels(Catalog).Answer(
            CohortSample.Inline(Published.Nist()), new() { LifeModels = ["weibull", "weibull3"] }, TestContext.Current.CancellationToken);
        var test = answer.Tests.Single();

        // Half of chi-square with one degree of freedom: twice 75.13505 - 75.02382 is 0.2225, whose upper tail is 0.637.
        Assert.True(test.AtBorder);
        Assert.Equal(0.2225, test.Statistic!.Value, 1e-3);
        Assert.Equal(0.637 / 2, test.PValue!.Value, 1e-3);
    }

    /// <summary>Two failures expected of a plan leave one sample in seven without any: those have no fit, and the answer says how many.</summary>
    [Fact]
    public void Simulated_samples_without_a_fit_are_told_with_what_p_could_have_been()
    {
        var sample = new LifeSampleBuilder().AddFailed(600).AddFailed(900).AddSurvived(1000, count: 18).Build();

        var fit = Fit(sample, new() { TestReplicates = 99, Seed = 3 });
        var test = fit.FitTest!.Value;
        var warning = Assert.Single(fit.Warnings, w => w.Code == AnalysisWarningCodes.FitTestSamplesLeftOut);

        // Nothing failed in exp(-2) = 13.5 % of them: 5 to 23 of 99 holds with probability 0.995.
        Assert.InRange(test.ReplicatesWithoutFit, 5, 23);
        Assert.StartsWith($"weibull: {test.ReplicatesWithoutFit} of 99 samples", warning.Text, StringComparison.Ordinal);
        var (least, most) = (test.AndersonDarlingPValue * (1 + test.Replicates) / 100, (test.AndersonDarlingPValue * (1 + test.Replicates) + test.ReplicatesWithoutFit) / 100);
        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"between {least:0.###} and {most:0.###} (Anderson"), warning.Text, StringComparison.Ordinal);
        Assert.InRange(test.AndersonDarlingPValue, least, most);

        var assessed = new AssessLifeModels(Catalog).Answer(
            CohortSample.Inline(sample), new() { LifeModels = ["weibull"], Replicates = 99, OfEach = new() { Seed = 3 } }, TestContext.Current.CancellationToken);
        Assert.Contains(warning, assessed.Warnings);
        Assert.DoesNotContain(Fit(Published.Nist(), new() { TestReplicates = 60, Seed = 5 }).Warnings, w => w.Code == AnalysisWarningCodes.FitTestSamplesLeftOut);
    }

    /// <summary>
    /// Sixty quantiles of a normal with mean 1,000 h and standard deviation 500 h, of which 2 % lies below 0 h: most
    /// samples would hold a life that no record can hold. Drawn above 0 h they all have a fit, and the lives look as they should.
    /// </summary>
    [Fact]
    public void Lives_below_zero_are_not_simulated()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 1; i < 60; i++)
            builder.AddFailed(1000 + 500 * MathNet.Numerics.Distributions.Normal.InvCDF(0, 1, (i + 0.5) / 60));

        var test = Fit(builder.Build(), new() { LifeModel = "normal", TestReplicates = 99, Seed = 3 }).FitTest!.Value;

        Assert.Equal(0, test.ReplicatesWithoutFit);
        Assert.InRange(test.AndersonDarlingPValue, 0.5, 1);
        Assert.Contains("below which the fitted distribution puts", test.CensoringPlan, StringComparison.Ordinal);
    }

    /// <summary>Lives of a location of 500 h and a shape of 1.3, at evenly spread chances: the location is plain, and estimated irregularly.</summary>
    [Fact]
    public void A_rank_of_an_irregular_likelihood_is_said_to_be_a_rough_guide()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 40; i++)
            builder.AddFailed(500 + 300 * Math.Pow(-Math.Log(1 - (i + 0.5) / 40), 1 / 1.3));
        var lives = CohortSample.Inline(builder.Build());

        var answer = new AssessLifeModels(Catalog).Answer(lives, new() { LifeModels = ["weibull", "weibull3"] }, TestContext.Current.CancellationToken);
        var without = new AssessLifeModels(Catalog).Answer(lives, new() { LifeModels = ["weibull", "lognormal"] }, TestContext.Current.CancellationToken);

        Assert.Equal("weibull3", answer.BestLifeModel);
        Assert.InRange(answer.Models[1].Fit.Value.Parameters[0].Estimate.Value!.Value, 1, 2);
        Assert.StartsWith("weibull3: ", Assert.Single(answer.Warnings, w => w.Code == WarningCodes.IrregularLikelihood).Text, StringComparison.Ordinal);
        Assert.EndsWith("rough guide here: see the warnings.", answer.Verdict, StringComparison.Ordinal);
        Assert.DoesNotContain(without.Warnings, w => w.Code == WarningCodes.IrregularLikelihood);
        Assert.DoesNotContain("rough guide", without.Verdict, StringComparison.Ordinal);
    }
}
