using Google.Protobuf.WellKnownTypes;
using Reliability.Cli.Predictions;
using Reliability.Cli.Tests.Fits;
using Reliability.Cli.Tests.Terminals;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Predictions;

public sealed class PredictionTablesTests
{
    [Fact]
    public void The_date_to_act_before_comes_first_and_cautions_go_along()
    {
        MemoryTerminal terminal = new();
        PredictionTables.Write(terminal.Terminal, Example("modules/lamp-1", 10));
        Assert.StartsWith("lamp-1: act before 2024-07-11 (chance of failure).", terminal.Out, StringComparison.Ordinal);
        Assert.Equal(["Rated hours", "2,000 h, on 2024-09-01"], terminal.Row("Rated hours"));
        Assert.Equal(["Hours of use a day", "6 (5 to 7), measured from 9 readings, 2024-01-01 to 2024-07-01"], terminal.Row("Hours of use a day"));
        Assert.Equal(["50 %", "700 (500 to 900)", "–", "–", "–", "withheld: beyond rated hours"], terminal.Row("50 %"));
        Assert.Contains("- Isolate from the supply and check that it is dead.", terminal.Out, StringComparison.Ordinal);
        Assert.Contains("Lives it rests on: 20 lives of 18 modules: 10 failed", terminal.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void Past_its_rated_hours_a_module_is_to_be_acted_on_now_and_no_hours_left_are_told()
    {
        var overdue = Example("modules/lamp-1", 0);
        overdue.RatedHoursReached = true;
        MemoryTerminal terminal = new(), fleet = new(200);
        PredictionTables.Write(terminal.Terminal, overdue);
        FleetTable.Write(fleet.Terminal, [new PredictFailuresResponse { Prediction = overdue }]);
        Assert.StartsWith("lamp-1: act now. Its rated hours are reached.", terminal.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("Hours left", terminal.Out, StringComparison.Ordinal);
        Assert.Contains("now", fleet.Row("lamp-1"));
    }

    [Fact]
    public void In_a_fleet_the_earliest_is_on_top_and_a_caution_is_told_once()
    {
        MemoryTerminal terminal = new(200);
        FleetTable.Write(terminal.Terminal,
        [
            new PredictFailuresResponse { Prediction = Example("modules/late", 90) },
            new PredictFailuresResponse { NotPredicted = new NotPredicted { Name = "modules/none", Reason = "NO_AGE", Text = "Its age is not known." } },
            new PredictFailuresResponse { Prediction = Example("modules/early", 5) },
        ]);
        Assert.True(terminal.Out.IndexOf("early", StringComparison.Ordinal) < terminal.Out.IndexOf("late", StringComparison.Ordinal));
        Assert.Equal("2024-07-06", terminal.Row("early")[4]);
        Assert.Contains("none: no prediction. Its age is not known. [NO_AGE]", terminal.Out, StringComparison.Ordinal);
        Assert.Equal(2, terminal.Out.Split("Isolate from the supply").Length);
        Assert.Contains("  - 2: Dates beyond rated hours are left out. [DATES_WITHHELD]", terminal.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void The_chance_of_failure_before_a_day_stands_in_a_fleet_that_was_asked_for_it()
    {
        Prediction asked = Example("modules/lamp-1", 10);
        (asked.BeforeTime, asked.FailureProbability) = (Day(30), ExampleFits.Both(0.12, 0.08, 0.2));
        MemoryTerminal with = new(240), without = new(240);
        FleetTable.Write(with.Terminal, [new PredictFailuresResponse { Prediction = asked }]);
        FleetTable.Write(without.Terminal, [new PredictFailuresResponse { Prediction = Example("modules/lamp-1", 10) }]);
        Assert.Equal("0.12 (0.08 to 0.2)", with.Row("lamp-1")[^1]);
        Assert.DoesNotContain("Chance of failure before", without.Out, StringComparison.Ordinal);
    }

    private static Prediction Example(string name, int days) => new()
    {
        Name = name,
        ModuleModel = "moduleModels/lamp",
        Condition = new Condition(),
        Site = "Velsham",
        ActBeforeTime = Day(days),
        ActBeforeReason = ActBeforeReason.RiskLimit,
        RatedHours = 2000,
        RatedHoursTime = Day(62),
        AsOfTime = Day(0),
        RiskLimit = 0.05,
        AgeAtLastReading = new HoursRange { LowerHours = 1500, UpperHours = 1500 },
        EstimatedAge = new HoursRange { LowerHours = 1510, UpperHours = 1512 },
        Usage = new Usage
        {
            Basis = UsageBasis.Measured,
            HoursPerDay = ExampleFits.Both(6, 5, 7),
            Window = new TimeRange { StartTime = Day(-182), EndTime = Day(0) },
            ReadingCount = 9,
        },
        MedianRemainingHours = ExampleFits.Both(700, 500, 900),
        FailureDates = { new FailureDate { FailureFraction = 0.5, RemainingHours = ExampleFits.Both(700, 500, 900), Withheld = true, BeyondRatedHours = true } },
        LifeModel = "weibull",
        ConfidenceLevel = 0.95,
        Warnings = { new Warning { Code = "DATES_WITHHELD", Text = "Dates beyond rated hours are left out." } },
        SampleSummary = new SampleSummary { LifeCount = 20, ModuleCount = 18, FailedCount = 10, SurvivedCount = 10 },
        Cautions = { new Caution { Code = "ISOLATE", Text = "Isolate from the supply and check that it is dead." } },
    };

    private static Timestamp Day(int days) => Timestamp.FromDateTime(new DateTime(2024, 7, 1, 9, 0, 0, DateTimeKind.Utc).AddDays(days));
}
