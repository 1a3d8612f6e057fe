using Reliability.Engine;
using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;
using static Reliability.Analysis.Tests.Invented;

namespace Reliability.Analysis.Tests.Prediction;

public sealed class WideningTests
{
    private static PredictionBasis Basis(Condition condition, params IEnumerable<Life>[] lives) =>
        new PredictFailure(
            BuiltInLifeModels.CreateCatalog(), Models(ratedHours: 2000), lives.SelectMany(l => l), new() { AsOfTime = Now, AssumedHoursPerDay = 10 })
            .Answer(InService(300, condition), TestContext.Current.CancellationToken).Value.Basis;

    [Fact]
    public void Five_failures_of_its_own_kind_suffice()
    {
        var basis = Basis(
            Refurbished(Bench),
            Failures(Refurbished(Bench), 400, 500, 600, 700, 800), Failures(Refurbished(Works), 100, 110), Failures(Condition.New, 1000));

        Assert.Equal(WideningStep.SameCondition, basis.Step);
        Assert.Equal(5, basis.Lives.Sample.FailureCount);
        Assert.Equal([Bench], basis.Selection.Refurbishers);
        Assert.Equal($"Modules of this model refurbished by {Bench}.", basis.Text);
    }

    [Fact]
    public void With_four_all_refurbishers_are_taken_in()
    {
        var basis = Basis(
            Refurbished(Bench),
            Failures(Refurbished(Bench), 400, 500, 600, 700), Failures(Refurbished(Works), 450), Failures(Condition.New, 1000));

        Assert.Equal(WideningStep.AllRefurbishers, basis.Step);
        Assert.Equal(5, basis.Lives.Sample.FailureCount);
        Assert.Contains("4 failures", basis.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_a_failure_of_its_own_new_and_refurbished_are_taken_together()
    {
        var basis = Basis(Condition.New, Survivors(Condition.New, 700, 800), Failures(Refurbished(), 400, 450, 500, 600, 700));

        Assert.Equal(WideningStep.BothConditions, basis.Step);
        Assert.Contains("taken to last equally long", basis.Text, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1, false)]
    [InlineData(12, true)]
    public void Taken_together_although_they_differ_is_warned_of(int newOnes, bool warned)
    {
        double[] hours = [.. Enumerable.Range(0, newOnes).Select(i => 700.0 + i)];
        Life[] lives = [.. Survivors(Condition.New, hours), .. Failures(Refurbished(), 400, 450, 500, 600, 700)];
        var prediction = new PredictFailure(
            BuiltInLifeModels.CreateCatalog(), Models(ratedHours: 2000), lives, new() { AsOfTime = Now, AssumedHoursPerDay = 10 })
            .Answer(InService(300, Condition.New), TestContext.Current.CancellationToken).Value;

        Assert.Equal(WideningStep.BothConditions, prediction.Basis.Step);
        Assert.Equal(warned, prediction.Basis.ConditionsTest!.PValue < 0.05);
        Assert.Equal(warned, prediction.Warnings.Any(w => w.Code == PredictionWarningCodes.ConditionsDiffer));
    }

    [Fact]
    public void Early_failures_of_its_own_are_not_taken_for_the_life_of_new_modules()
    {
        var basis = Basis(Refurbished(), Failures(Refurbished(), 40, 60), Failures(Condition.New, 900, 1000, 1100, 1200, 1300));

        Assert.Equal(WideningStep.BorrowedShape, basis.Step);
        Assert.True(basis.Predictive!.RemainingLife(0, 0.5) < 120);
    }

    [Fact]
    public void Then_the_shape_is_borrowed_and_the_scale_is_its_own()
    {
        var basis = Basis(
            Condition.New, Failures(Condition.New, 400, 600), Survivors(Condition.New, 650), Failures(Refurbished(), 150, 250));

        Assert.Equal(WideningStep.BorrowedShape, basis.Step);
        Assert.Equal(2, basis.Lives.Sample.FailureCount);
        Assert.Contains("shape", basis.Text, StringComparison.Ordinal);
        var shape = basis.Fit!.Parameters.Single(p => p.IsFixed);
        // Scale under a known shape is closed: (sum t^b / r)^(1/b).
        var b = shape.Estimate.Value!.Value;
        var scale = Math.Pow(new double[] { 400, 600, 650 }.Sum(t => Math.Pow(t, b)) / 2, 1 / b);
        Assert.Equal(scale, basis.Fit.Parameters.Single(p => !p.IsFixed).Estimate.Value!.Value, 1e-6);
    }

    [Fact]
    public void Then_rated_hours_alone_are_left()
    {
        var basis = Basis(Condition.New, Survivors(Condition.New, 400, 600), Failures(Refurbished(), 150));

        Assert.Equal(WideningStep.RatedHoursOnly, basis.Step);
        Assert.Null(basis.Fit);
        Assert.Contains("rated hours alone", basis.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_family_without_any_failure_gets_its_rated_hours_date()
    {
        var prediction = new PredictFailure(
            BuiltInLifeModels.CreateCatalog(), Models(ratedHours: 2000), Survivors(Condition.New, 1990, 1995), new() { AsOfTime = Now, AssumedHoursPerDay = 10 })
            .Answer(InService(1900), TestContext.Current.CancellationToken).Value;

        Assert.Equal(Now.AddDays(10), prediction.ActBeforeTime);
        Assert.Equal(ActBeforeReason.RatedHours, prediction.ActBeforeReason);
        Assert.Null(prediction.MedianRemainingHours);
        Assert.NotEmpty(prediction.Cautions);
    }

    [Fact]
    public void A_shape_that_a_model_does_not_have_is_not_borrowed()
    {
        var basis = new PredictFailure(
            BuiltInLifeModels.CreateCatalog(), Models(ratedHours: 2000), Failures(Condition.New, 400, 600),
            new() { AsOfTime = Now, AssumedHoursPerDay = 10, LifeModel = "exponential" })
            .Answer(InService(300), TestContext.Current.CancellationToken).Value.Basis;

        Assert.Equal(WideningStep.RatedHoursOnly, basis.Step);
    }
}
