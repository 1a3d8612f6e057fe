using CsCheck;
using Reliability.Engine;
using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;
using static Reliability.Analysis.Tests.Invented;

namespace Reliability.Analysis.Tests.Prediction;

public sealed class PredictionProperties
{
    private const long Runs = 200;

    private sealed record Case(Life[] Lives, DerivedModule Module, double Rated, double Rate, double Risk);

    private static readonly Gen<Case> Cases =
        from failures in Gen.Double[50, 3000].Array[5, 12]
        from survivors in Gen.Double[50, 3000].Array[0, 12]
        from age in Gen.Double[0, 2500]
        from spread in Gen.Double[0, 300]
        from rated in Gen.Double[100, 4000]
        from rate in Gen.Double[0.01, 24]
        from days in Gen.Double[0, 100]
        from risk in Gen.Double[0.001, 0.9]
        select new Case(
            [.. Failures(Condition.New, failures), .. Survivors(Condition.New, survivors)],
            InService(age, lastRead: Now.AddDays(-days), upperAge: age + spread), rated, rate, risk);

    private static Reliability.Analysis.Prediction Predict(Case at, double? risk = null, Life[]? lives = null) =>
        new PredictFailure(
            BuiltInLifeModels.CreateCatalog(), Models(at.Rated), lives ?? at.Lives,
            new()
            {
                AsOfTime = Now,
                AssumedHoursPerDay = at.Rate,
                RiskLimit = risk ?? at.Risk,
                BoundsMethod = Reliability.Engine.Abstractions.BoundsMethod.NormalApproximation,
            })
            .Answer(at.Module, TestContext.Current.CancellationToken).Value;

    [Fact]
    public void No_date_lies_before_the_as_of_time_or_after_rated_hours() => Cases.Sample(
        at =>
        {
            var prediction = Predict(at);
            Assert.True(prediction.ActBeforeTime >= Now);
            Assert.True(prediction.ActBeforeTime <= prediction.RatedHoursTime);
            foreach (var date in prediction.FailureDates)
            {
                Assert.True(date.Time is null || (date.Time >= Now && date.Time <= prediction.RatedHoursTime));
                Assert.True(date.LowerTime is null || (date.LowerTime >= Now && date.LowerTime <= date.Time));
                Assert.True(date.UpperTime is null || date.UpperTime >= date.Time);
            }
        },
        iter: Runs, seed: "0000000000003", threads: 1);

    [Fact]
    public void A_greater_risk_limit_never_means_an_earlier_date() => Cases.Select(Gen.Double[0.001, 0.9]).Sample(
        (at, other) =>
        {
            var (less, more) = (Math.Min(at.Risk, other), Math.Max(at.Risk, other));
            Assert.True(Predict(at, less).ActBeforeTime <= Predict(at, more).ActBeforeTime);
        },
        iter: Runs, seed: "0000000000003", threads: 1);

    [Fact]
    public void Excluded_and_flagged_lives_change_no_estimate() => Cases.Sample(
        at =>
        {
            Life[] more =
            [
                Life(LifeOutcome.Failed(1)) with { Exclusion = LifeExclusion.OpenedAfterOutcome },
                .. at.Lives,
                Life(LifeOutcome.Failed(2)) with { Flags = [RecordOddity.ReadingLeftOut] },
            ];
            var (without, with) = (Predict(at), Predict(at, lives: more));
            Assert.Equal(without.ActBeforeTime, with.ActBeforeTime);
            Assert.Equal(without.MedianRemainingHours!.Value, with.MedianRemainingHours!.Value);
            Assert.Equal(without.Basis.Lives.Summary.FailedCount, with.Basis.Lives.Summary.FailedCount);
            Assert.Equal(2, with.Basis.Lives.Summary.ExcludedLives.Sum(e => e.Count));
        },
        iter: Runs, seed: "0000000000003", threads: 1);
}
