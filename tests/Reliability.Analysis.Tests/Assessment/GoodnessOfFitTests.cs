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
}
