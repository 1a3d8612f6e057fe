using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Bounds;

/// <summary>Calibrated bounds as a caller meets them.</summary>
public sealed class CalibratedBoundsTests
{
    private static readonly FitOptions Calibrated = new() { BoundsMethod = BoundsMethod.Calibrated };

    [Fact]
    public void The_plan_is_stated_detected_or_assumed_and_the_answer_says_which()
    {
        var failures = Lives([12, 25, 31, 48, 60], []);
        var detected = Lives([12, 25, 31, 48, 60], [60, 60]);
        var staggered = Lives([12, 25, 31, 48, 60], [20, 70]);
        var planned = new LifeSampleBuilder().AddFailed(12, plannedEndHours: 100).AddFailed(25, plannedEndHours: 80).AddSurvived(90).Build();
        var late = new LifeSampleBuilder().AddRange(staggered).AddFailed(40, 20).Build();

        Assert.Equal(new(Termination.FailureTerminated, PlanBasis.Detected, PlannedEndSource.NotNeeded), Plan(failures));
        Assert.Equal(new(Termination.FailureTerminated, PlanBasis.Detected, PlannedEndSource.NotNeeded), Plan(detected));
        Assert.Equal(new(Termination.TimeTerminated, PlanBasis.Stated, PlannedEndSource.Estimated), Plan(detected, Termination.TimeTerminated));
        Assert.Equal(new(Termination.FailureTerminated, PlanBasis.Stated, PlannedEndSource.NotNeeded), Plan(staggered, Termination.FailureTerminated));
        Assert.Equal(new(Termination.TimeTerminated, PlanBasis.Assumed, PlannedEndSource.Estimated), Plan(staggered));
        Assert.Equal(new(Termination.TimeTerminated, PlanBasis.Detected, PlannedEndSource.Stated), Plan(planned));
        Assert.Equal(new(Termination.TimeTerminated, PlanBasis.Assumed, PlannedEndSource.Estimated), Plan(late, Termination.FailureTerminated));
        Assert.Contains(
            Fit(late, Calibrated with { Termination = Termination.FailureTerminated }).Warnings, w => w.Code == WarningCodes.TerminationNotUsed);
        Assert.Null(Fit(staggered, FitOptions.Default).Plan);
    }

    [Fact]
    public void One_failure_gets_likelihood_ratio_bounds_that_say_so_for_two_parameters_and_calibrated_ones_for_one()
    {
        var sample = Lives([100], [200, 300]);

        var both = Fit(sample, Calibrated);
        Assert.Equal(BoundsMethod.LikelihoodRatio, both.BoundsMethod);
        Assert.Contains(both.Warnings, w => w.Code == WarningCodes.CalibrationLimited);
        var (wanted, got) = (Fit(sample, FitOptions.Default).PercentileLife(0.1), both.PercentileLife(0.1));
        Assert.Equal((wanted.Lower, wanted.Upper), (got.Lower, got.Upper));
        var held = Fit(sample, Calibrated with { FixedParameters = new Dictionary<string, double> { ["shape"] = 2 } });
        Assert.True(held.Parameters[1].Estimate.Lower > 0);
        Assert.Contains(held.Warnings, w => w.Code == WarningCodes.CalibrationLimited);
    }

    [Fact]
    public void Fewer_than_five_failures_ended_by_time_carry_a_warning_and_fewer_than_four_by_failure()
    {
        Assert.Contains(Fit(Lives([10, 20, 30, 40], [35, 50]), Calibrated).Warnings, w => w.Code == WarningCodes.CalibrationLimited);
        Assert.DoesNotContain(Fit(Lives([10, 20, 30, 40], [40, 40]), Calibrated).Warnings, w => w.Code == WarningCodes.CalibrationLimited);
        Assert.Contains(Fit(Lives([10, 20, 40], [40, 40]), Calibrated).Warnings, w => w.Code == WarningCodes.CalibrationLimited);
        Assert.Contains(Fit(Lives([10, 20], []), Calibrated).Warnings, w => w.Code == WarningCodes.CalibrationLimited);
        Assert.DoesNotContain(Fit(Lives([10, 20, 30, 40, 45], [35, 50]), Calibrated).Warnings, w => w.Code == WarningCodes.CalibrationLimited);
    }

    /// <summary>The cells of docs/validation/coverage.md in which bounds held more often than they say: what is asked near the end.</summary>
    [Fact]
    public void Few_failures_ended_by_time_carry_a_warning_where_the_question_nears_the_end_of_observation()
    {
        // Half of the lives fail by the end, at 100 h.
        var few = Fit(Lives([20, 40, 60, 80, 95], [100, 100, 100, 100, 100]), Calibrated);
        Assert.True(IsLimited(few.Reliability(120)));
        Assert.True(IsLimited(few.Mean()));
        Assert.True(IsLimited(few.PercentileLife(0.3)));
        Assert.True(IsLimited(few.Parameters.Single(p => p.Name == "scale").Estimate));
        Assert.False(IsLimited(few.PercentileLife(0.05)));
        Assert.False(IsLimited(few.Parameters.Single(p => p.Name == "shape").Estimate));

        double[] failures = [20, 40, 60, 80, 95, 97];
        Assert.False(IsLimited(Fit(Lives(failures, [97, 97]), Calibrated).Reliability(120)));
        Assert.False(IsLimited(Fit(Lives([.. failures, 15, 33, 51, 88], [100, 100]), Calibrated).Reliability(120)));

        static bool IsLimited(BoundedEstimate estimate) => estimate.Notes.Any(n => n.Code == WarningCodes.CalibrationLimited);
    }

    /// <summary>
    /// With the shape known, chi-square bounds are exact for a failure-terminated sample (Lawless 2003, 4.1), and r* comes within a
    /// part in a thousand of them.
    /// </summary>
    [Theory]
    [InlineData(0.5)]
    [InlineData(2)]
    public void With_the_shape_held_they_come_to_the_exact_chi_square_bounds(double shape)
    {
        var sample = Lives([12, 25, 31, 48, 60], [60, 60, 60]);
        var held = new Dictionary<string, double> { ["shape"] = shape };

        var calibrated = Fit(sample, Calibrated with { FixedParameters = held }).Parameters[1].Estimate;
        var exact = Fit(sample, new FitOptions
        {
            BoundsMethod = BoundsMethod.Exact,
            Termination = Termination.FailureTerminated,
            FixedParameters = held,
        }).Parameters[1].Estimate;

        Assert.Equal(1, calibrated.Lower!.Value / exact.Lower!.Value, 2e-3);
        Assert.Equal(1, calibrated.Upper!.Value / exact.Upper!.Value, 2e-3);
    }

    [Theory]
    [InlineData("weibull")]
    [InlineData("exponential")]
    [InlineData("lognormal")]
    public void Intervals_that_narrow_come_to_the_exact_answer(string model)
    {
        double[] failures = [30, 75, 110, 160, 240, 300];
        double[] survivors = [90, 150, 320, 320, 320];
        var exact = Lives(failures, survivors);
        var builder = new LifeSampleBuilder();
        foreach (var hours in failures)
            builder.AddBetween(hours * (1 - 1e-6), hours * (1 + 1e-6));
        foreach (var hours in survivors)
            builder.AddSurvived(hours);
        var narrow = builder.Build();

        foreach (var question in Questions())
        {
            var (wanted, got) = (
                question(Asked.Model(model).Fit(exact, Calibrated).Value), question(Asked.Model(model).Fit(narrow, Calibrated).Value));
            Assert.Equal(1, got.Lower!.Value / wanted.Lower!.Value, 1e-3);
            Assert.Equal(1, got.Upper!.Value / wanted.Upper!.Value, 1e-3);
        }
    }

    [Fact]
    public void Many_rows_get_the_same_bounds_as_few_rows_with_counts()
    {
        var random = new Random(20261128);
        var few = new LifeSampleBuilder();
        var many = new LifeSampleBuilder();
        for (var i = 0; i < 300; i++)
        {
            var life = 1000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
            var end = 500 + 500 * (i % 3);
            if (life < end)
                few.AddFailed(life, count: 4);
            else
                few.AddSurvived(end, count: 4);
            for (var k = 0; k < 4; k++)
                _ = life < end ? many.AddFailed(life) : many.AddSurvived(end);
        }

        foreach (var question in Questions())
        {
            var (wanted, got) = (question(Fit(few.Build(), Calibrated)), question(Fit(many.Build(), Calibrated)));
            Assert.Equal(1, got.Lower!.Value / wanted.Lower!.Value, 2e-4);
            Assert.Equal(1, got.Upper!.Value / wanted.Upper!.Value, 2e-4);
        }
    }

    /// <summary>Beyond 4,096 rows the plan is estimated from pooled lives; half the rows with counts of two are not pooled.</summary>
    [Fact]
    public void A_plan_of_pooled_lives_gives_the_same_bounds()
    {
        var random = new Random(20261128);
        var (few, many) = (new LifeSampleBuilder(), new LifeSampleBuilder());
        for (var i = 0; i < 3000; i++)
        {
            var entry = i % 3 == 0 ? 100 * random.NextDouble() : 0;
            var end = entry + 50 + 400 * random.NextDouble();
            var life = 5000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
            var failed = life > entry && life < end;
            _ = failed ? few.AddFailed(life, entry, count: 2) : few.AddSurvived(end, entry, count: 2);
            for (var k = 0; k < 2; k++)
            {
                var shift = 1 + 1e-9 * (k - 0.5);
                _ = failed ? many.AddFailed(life * shift, entry) : many.AddSurvived(end * shift, entry);
            }
        }

        var (wanted, got) = (Fit(few.Build(), Calibrated), Fit(many.Build(), Calibrated));
        foreach (var question in Questions())
        {
            var (exact, pooled) = (question(wanted), question(got));
            Assert.Equal(1, pooled.Lower!.Value / exact.Lower!.Value, 1e-3);
            Assert.Equal(1, pooled.Upper!.Value / exact.Upper!.Value, 1e-3);
        }
    }

    private static IEnumerable<Func<IFittedLife, BoundedEstimate>> Questions() =>
    [
        life => life.Parameters[0].Estimate,
        life => life.Mean(),
        life => life.PercentileLife(0.1),
        life => life.Reliability(150),
        life => life.ConditionalReliability(100, 100),
        life => life.RemainingLife(100, 0.5),
        life => life.MeanRemainingLife(100),
    ];

    private static ObservationPlan? Plan(LifeSample sample, Termination stated = Termination.Unspecified) =>
        Fit(sample, Calibrated with { Termination = stated }).Plan;

    private static IFittedLife Fit(LifeSample sample, FitOptions options) => Asked.Model("weibull").Fit(sample, options).Value;

    private static LifeSample Lives(double[] failed, double[] survived)
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in failed)
            builder.AddFailed(hours);
        foreach (var hours in survived)
            builder.AddSurvived(hours);
        return builder.Build();
    }
}
