using Reliability.Engine;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Analysis.Tests.Survival;

public sealed class EstimateSurvivalTests
{
    private static readonly EstimateSurvival Survival = new(BuiltInLifeModels.CreateCatalog());

    [Fact]
    public void Remission_times_give_the_published_estimate()
    {
        // Kaplan-Meier of the 6-mercaptopurine arm at 6, 7, 10, 13 weeks: 0.857, 0.807, 0.753, 0.690; median 23
        // (Freireich et al. 1963, as tabulated in many textbooks; from memory).
        var answer = Answer(CohortSample.Inline(Published.Mercaptopurine()));

        Assert.Equal([0.857, 0.807, 0.753, 0.690], answer.Estimate.Points.Take(4).Select(p => Math.Round(p.Reliability.Value!.Value, 3)));
        Assert.Equal(23, answer.Estimate.MedianLife.Value);
    }

    [Fact]
    public void Lives_that_failed_between_two_ages_give_the_estimate_of_Turnbull()
    {
        var answer = Answer(CohortSample.Inline(new LifeSampleBuilder().AddBetween(1, 2, failureMode: "wear").Build()));

        Assert.Equal(SurvivalMethod.Turnbull, answer.Estimate.Method);
        Assert.Empty(answer.Incidences);
        Assert.Contains(answer.Warnings, w => w.Code == AnalysisWarningCodes.NoIncidences);
        Assert.Contains(answer.Warnings, w => w.Code == WarningCodes.NoBounds);
    }

    [Fact]
    public void The_restricted_mean_counts_to_rated_hours_where_lives_reach_them()
    {
        var sample = new LifeSampleBuilder().AddFailed(100).AddSurvived(300).Build();
        var lives = CohortSample.Inline(sample) with { RatedHours = 200 };

        Assert.Equal((200, AgeLimitBasis.RatedHours), Limit(lives, null));
        Assert.Equal((300, AgeLimitBasis.OldestAge), Limit(lives with { RatedHours = 400 }, null));
        Assert.Equal((300, AgeLimitBasis.OldestAge), Limit(lives with { RatedHours = null }, null));
        Assert.Equal((150, AgeLimitBasis.Asked), Limit(lives, 150));
        Assert.Equal(150, Answer(lives).RestrictedMean.Mean.Value);

        static (double, AgeLimitBasis) Limit(CohortSample lives, double? asked)
        {
            var mean = Answer(lives, asked).RestrictedMean;
            return (mean.AgeLimitHours, mean.Basis);
        }
    }

    [Fact]
    public void An_age_limit_that_is_no_age_is_refused_by_field()
    {
        foreach (var bad in (double[])[0, -1, double.NaN, double.PositiveInfinity])
        {
            Assert.Equal("age_limit_hours", Assert.Throws<RequestRefusedException>(
                () => Answer(CohortSample.Inline(Published.Nist()), bad)).Field);
        }
    }

    [Fact]
    public void Failures_without_a_mode_beside_others_are_told_of()
    {
        var sample = new LifeSampleBuilder().AddFailed(1, failureMode: "wear").AddFailed(2).AddSurvived(3).Build();

        var answer = Answer(CohortSample.Inline(sample));

        Assert.Equal(["wear", null], answer.Incidences.Select(i => i.FailureMode));
        Assert.Contains(answer.Warnings, w => w.Code == WarningCodes.UnknownFailureModes);
    }

    [Fact]
    public void A_confidence_level_out_of_range_is_refused_by_field() =>
        Assert.Equal("confidence_level", Assert.Throws<RequestRefusedException>(
            () => Survival.Answer(CohortSample.Inline(Published.Nist()), new SurvivalQuestion { ConfidenceLevel = 1 }, TestContext.Current.CancellationToken)).Field);

    private static SurvivalAnswer Answer(CohortSample lives, double? ageLimit = null) => Survival.Answer(
        lives, new SurvivalQuestion { AgeLimitHours = ageLimit }, TestContext.Current.CancellationToken).Value;
}
