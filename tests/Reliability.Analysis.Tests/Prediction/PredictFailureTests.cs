using Reliability.Engine;
using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;
using static Reliability.Analysis.Tests.Invented;

namespace Reliability.Analysis.Tests.Prediction;

public sealed class PredictFailureTests
{
    // The handbook's units as lives of new modules: Weibull shape 1.7208, scale 606.53.
    private static readonly Life[] NistLives =
        [.. Failures(Condition.New, Published.NistFailures), .. Survivors(Condition.New, [.. Enumerable.Repeat(500.0, 10)])];

    private static readonly PredictionQuestion TenHoursADay = new() { AsOfTime = Now, AssumedHoursPerDay = 10 };

    private static Reliability.Analysis.Prediction Predict(
        DerivedModule module, PredictionQuestion? question = null, ModuleCatalogue? models = null, IEnumerable<Life>? lives = null) =>
        Ask(module, question, models, lives).Value;

    private static Reliability.Engine.Abstractions.Estimable<Reliability.Analysis.Prediction> Ask(
        DerivedModule module, PredictionQuestion? question = null, ModuleCatalogue? models = null, IEnumerable<Life>? lives = null) =>
        new PredictFailure(BuiltInLifeModels.CreateCatalog(), models ?? Models(), lives ?? NistLives, question ?? TenHoursADay)
            .Answer(module, TestContext.Current.CancellationToken);

    private static double Days(DateTimeOffset? date) => (date!.Value - Now).TotalDays;

    [Fact]
    public void Remaining_life_is_that_of_modules_alive_at_this_age()
    {
        // Computed by base R alone from the handbook's units (adaptive quadrature over the posterior, calibrated.R of this project's
        // design, with d = s = 0.488102, k = s/2): alive at 300 h, half outlast a further 328.4822 h, 100 h are not survived with chance
        // 0.165533. The mean is the fitted one: the predictive distribution has none.
        var prediction = Predict(InService(300), TenHoursADay with { BeforeTime = Now.AddDays(10) });

        Assert.Equal(328.482208965, prediction.MedianRemainingHours!.Value!.Value, 1e-5);
        Assert.Equal(364.70435378296077, prediction.MeanRemainingHours!.Value!.Value, 1e-5);
        Assert.Equal(0.165532795246, prediction.FailureProbability!.Value!.Value, 1e-8);
        Assert.Equal(32.84822, Days(prediction.FailureDates.Single(d => d.FailureFraction == 0.5).Time), 1e-4);
        Assert.Equal(WideningStep.SameCondition, prediction.Basis.Step);
        Assert.Equal((300, 300), (prediction.EstimatedAge.LowerHours, prediction.EstimatedAge.UpperHours));
    }

    [Fact]
    public void At_the_risk_limit_date_the_chance_of_failure_is_the_risk_limit()
    {
        var limit = Predict(InService(300), TenHoursADay with { RiskLimit = 0.1 });
        var chance = Predict(InService(300), TenHoursADay with { BeforeTime = limit.ActBeforeTime });

        Assert.Equal(ActBeforeReason.RiskLimit, limit.ActBeforeReason);
        Assert.Equal(0.1, chance.FailureProbability!.Value!.Value, 1e-6);
    }

    [Fact]
    public void Hours_since_the_last_reading_are_added_at_the_rate_of_use()
    {
        var prediction = Predict(InService(200, lastRead: Now.AddDays(-10)));

        Assert.Equal(300, prediction.EstimatedAge.LowerHours, 1e-9);
        Assert.Equal(328.482208965, prediction.MedianRemainingHours!.Value!.Value, 1e-5);
    }

    [Fact]
    public void The_range_of_the_rate_and_of_the_age_widens_the_bounds()
    {
        var sure = Predict(InService(300));
        var range = Predict(InService(200, upperAge: 400));

        Assert.Equal(sure.MedianRemainingHours!.Value!.Value, range.MedianRemainingHours!.Value!.Value, 1e-9);
        Assert.True(range.MedianRemainingHours.Lower < sure.MedianRemainingHours.Lower);
        Assert.True(range.MedianRemainingHours.Upper > sure.MedianRemainingHours.Upper);
        Assert.Contains(range.Warnings, w => w.Code == PredictionWarningCodes.AgeIsRange);

        var unsteady = Readings(12, 7, 10).Select((p, i) => p with { Hours = p.Hours + (i % 3 * 9) }).ToList();
        var measured = Predict(
            InService(200, lastRead: Now.AddDays(-10)) with { Usage = unsteady }, TenHoursADay with { AssumedHoursPerDay = null });
        Assert.Equal(UsageBasis.Measured, measured.Usage.Basis);
        Assert.True(measured.EstimatedAge.LowerHours < measured.EstimatedAge.UpperHours);
    }

    [Fact]
    public void Rated_hours_come_first_when_they_are_reached_first()
    {
        var prediction = Predict(InService(300), TenHoursADay with { RiskLimit = 0.5 }, Models(ratedHours: 400));

        Assert.Equal(10, Days(prediction.RatedHoursTime), 1e-9);
        Assert.Equal(prediction.RatedHoursTime, prediction.ActBeforeTime);
        Assert.Equal(ActBeforeReason.RatedHours, prediction.ActBeforeReason);
    }

    [Fact]
    public void Dates_beyond_rated_hours_are_withheld_unless_asked_for_and_then_labelled()
    {
        var question = TenHoursADay with { RiskLimit = 0.5 };
        var withheld = Predict(InService(300), question, Models(ratedHours: 400));
        var given = Predict(InService(300), question with { IncludeDatesBeyondRatedHours = true }, Models(ratedHours: 400));

        Assert.Null(withheld.RiskLimitTime);
        var median = withheld.FailureDates.Single(d => d.FailureFraction == 0.5);
        Assert.Equal((null, true, true), (median.Time, median.BeyondRatedHours, median.Withheld));
        Assert.Contains(withheld.Warnings, w => w.Code == PredictionWarningCodes.DatesWithheld);

        Assert.Equal(32.84822, Days(given.RiskLimitTime), 1e-4);
        Assert.All(given.FailureDates, d => Assert.False(d.Withheld));
        Assert.True(given.FailureDates[1].BeyondRatedHours);
        Assert.Equal(withheld.ActBeforeTime, given.ActBeforeTime);
        Assert.Contains(given.Warnings, w => w.Code == PredictionWarningCodes.BeyondRatedHours);
    }

    [Fact]
    public void Rated_hours_that_are_reached_mean_now()
    {
        var reached = Predict(InService(450), models: Models(ratedHours: 400));
        var perhaps = Predict(InService(350, upperAge: 450), models: Models(ratedHours: 400));

        Assert.Equal((Now, true), (reached.ActBeforeTime!.Value, reached.RatedHoursReached));
        Assert.Equal(Now, perhaps.ActBeforeTime);
        Assert.Contains(reached.Warnings, w => w.Code == PredictionWarningCodes.RatedHoursReached);
        Assert.Contains(perhaps.Warnings, w => w.Code == PredictionWarningCodes.RatedHoursUncertain);
    }

    [Fact]
    public void Usage_comes_from_the_question_then_readings_then_install_then_like_modules()
    {
        var plain = TenHoursADay with { AssumedHoursPerDay = null };
        var module = InService(300) with { ExpectedHoursPerDay = 9, Usage = Readings(6, 7, 12) };

        Assert.Equal(UsageBasis.Assumed, Predict(module).Usage.Basis);
        Assert.Equal((UsageBasis.Measured, 12), Used(Predict(module, plain)));
        Assert.Equal((UsageBasis.Expected, 9), Used(Predict(module with { Usage = [] }, plain)));
        Assert.Equal(UsageBasis.Cohort, Predict(module with { Usage = [], ExpectedHoursPerDay = null }, plain).Usage.Basis);
        Assert.Contains(Predict(module with { Usage = [] }, plain).Warnings, w => w.Code == PredictionWarningCodes.UsageNotMeasured);

        static (UsageBasis, double) Used(Reliability.Analysis.Prediction prediction) =>
            (prediction.Usage.Basis, Math.Round(prediction.Usage.HoursPerDay.Value!.Value, 9));
    }

    [Fact]
    public void A_module_that_is_not_used_has_hours_and_no_dates()
    {
        var idle = InService(300) with { Usage = Readings(6, 7, 0) };

        var prediction = Predict(idle, TenHoursADay with { AssumedHoursPerDay = null }, Models(ratedHours: 400));

        Assert.Equal(328.482208965, prediction.MedianRemainingHours!.Value!.Value, 1e-5);
        Assert.Null(prediction.ActBeforeTime);
        Assert.Null(prediction.RatedHoursTime);
        Assert.All(prediction.FailureDates, d => Assert.Null(d.Time));
        Assert.Contains(prediction.Warnings, w => w.Code == PredictionWarningCodes.NoUsage);
    }

    [Fact]
    public void Dates_beyond_the_calendar_are_left_out()
    {
        var prediction = Predict(InService(300), TenHoursADay with { AssumedHoursPerDay = 1e-6 }, Models(ratedHours: 1e6));

        Assert.Null(prediction.RatedHoursTime);
        Assert.Null(prediction.FailureDates[2].Time);
        Assert.Contains(prediction.Warnings, w => w.Code == PredictionWarningCodes.BeyondCalendar);
    }

    public static TheoryData<DerivedModule, string> WithoutPrediction() => new()
    {
        { InService(300) with { State = ModuleState.Unregistered }, NotPredictedReasons.Unregistered },
        { InService(300) with { State = ModuleState.OnShelf }, NotPredictedReasons.NotInService },
        { InService(300) with { State = ModuleState.Removed }, NotPredictedReasons.NotInService },
        { InService(300) with { State = ModuleState.FailedInPlace }, NotPredictedReasons.Failed },
        { InService(300) with { State = ModuleState.Retired }, NotPredictedReasons.Retired },
        { InService(300) with { Age = null }, NotPredictedReasons.UnknownAge },
        { InService(300) with { Age = new(300, null) }, NotPredictedReasons.UnknownAge },
        { InService(300) with { ModelId = null }, NotPredictedReasons.UnknownModel },
        { InService(300) with { ModelId = "another-model" }, NotPredictedReasons.NoBasis },
    };

    [Theory]
    [MemberData(nameof(WithoutPrediction), DisableDiscoveryEnumeration = true)]
    public void A_module_without_a_prediction_says_why(DerivedModule module, string reason) =>
        Assert.Equal(reason, Ask(module).NotEstimable!.Reason);

    [Theory]
    [InlineData("risk_limit")]
    [InlineData("before_time")]
    [InlineData("assumed_hours_per_day")]
    [InlineData("confidence_level")]
    [InlineData("life_model")]
    [InlineData("bounds_method")]
    public void What_can_never_be_answered_is_refused_by_field(string field)
    {
        var question = field switch
        {
            "risk_limit" => TenHoursADay with { RiskLimit = 1 },
            "before_time" => TenHoursADay with { BeforeTime = Now },
            "assumed_hours_per_day" => TenHoursADay with { AssumedHoursPerDay = 24.1 },
            "confidence_level" => TenHoursADay with { ConfidenceLevel = 1 },
            "life_model" => TenHoursADay with { LifeModel = "no-such-model" },
            _ => TenHoursADay with { LifeModel = "gamma", BoundsMethod = Reliability.Engine.Abstractions.BoundsMethod.Exact },
        };

        Assert.Equal(field, Assert.Throws<RequestRefusedException>(() => Ask(InService(300), question)).Field);
    }

    [Fact]
    public void Every_prediction_carries_the_cautions_and_its_dates_take_in_how_well_parameters_are_known()
    {
        var own = new Caution { Code = "COOL_DOWN", Text = "Let the lamp cool down for 30 minutes." };

        var prediction = Predict(InService(300), models: Models(null, own));

        Assert.Same(own, prediction.Cautions[0]);
        Assert.Contains(prediction.Cautions, c => c.Code == "ISOLATE_SUPPLY");
        Assert.DoesNotContain(prediction.Warnings, w => w.Code == PredictionWarningCodes.ParameterUncertaintyNotIncluded);
        Assert.Contains(prediction.Warnings, w => w.Code == PredictionWarningCodes.NoRatedHours);
    }

    [Fact]
    public void What_limits_the_prediction_stands_in_its_answer()
    {
        var withTen = Predict(InService(300));
        var withFive = Predict(InService(300), lives: [.. NistLives.Where((life, i) => life.Outcome!.Value.Kind != OutcomeKind.Failed || i % 2 == 0)]);

        Assert.DoesNotContain(withTen.Warnings, w => w.Code == Reliability.Engine.Abstractions.WarningCodes.PredictionLimited);
        Assert.Contains(withFive.Warnings, w => w.Code == Reliability.Engine.Abstractions.WarningCodes.PredictionLimited);
    }

    [Fact]
    public void A_fleet_gives_each_module_what_it_would_get_alone()
    {
        var predictor = new PredictFailure(BuiltInLifeModels.CreateCatalog(), Models(), NistLives, TenHoursADay);

        var first = predictor.Answer(InService(100), TestContext.Current.CancellationToken).Value;
        var second = predictor.Answer(InService(300), TestContext.Current.CancellationToken).Value;

        Assert.Same(first.Basis, second.Basis);
        Assert.Equal(Predict(InService(100)).ActBeforeTime, first.ActBeforeTime);
        Assert.Equal(Predict(InService(300)).ActBeforeTime, second.ActBeforeTime);
    }
}
