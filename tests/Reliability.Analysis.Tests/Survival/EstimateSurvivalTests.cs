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
        var answer = Survival.Answer(CohortSample.Inline(Published.Mercaptopurine()), cancellationToken: TestContext.Current.CancellationToken).Value;

        Assert.Equal([0.857, 0.807, 0.753, 0.690], answer.Estimate.Points.Take(4).Select(p => Math.Round(p.Reliability.Value!.Value, 3)));
        Assert.Equal(23, answer.Estimate.MedianLife.Value);
    }

    [Fact]
    public void Lives_that_failed_between_two_ages_give_a_reason()
    {
        var answer = Survival.Answer(CohortSample.Inline(new LifeSampleBuilder().AddBetween(1, 2).Build()), cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal(NotEstimableReasons.IntervalOutcomes, answer.NotEstimable!.Reason);
    }

    [Fact]
    public void A_confidence_level_out_of_range_is_refused_by_field() =>
        Assert.Equal("confidence_level", Assert.Throws<RequestRefusedException>(
            () => Survival.Answer(CohortSample.Inline(Published.Nist()), 1, TestContext.Current.CancellationToken)).Field);
}
