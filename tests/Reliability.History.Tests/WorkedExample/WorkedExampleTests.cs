using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.WorkedExample;

/// <summary>The worked example of the domain description, to the letter.</summary>
public sealed class WorkedExampleTests
{
    private static readonly Scenario.History Example = new Scenario.History()
        .Registered(1, age: 300)
        .OnHost(2, 1_200)
        .Read(11, 1_300)
        .At(12, Reading(12, 14_000), "mistyped")
        .Read(26, 1_450)
        .At(30, new MeterChangedV1 { FinalHours = 1_500, FirstHours = 0 })
        .Read(45, 150)
        .Failed(50, 180)
        .Removed(51, 181, RemovalReason.Failed)
        .Refurbished(60)
        .OnHost(70, 5_000, "vent-9")
        .Read(100, 5_400);

    [Fact]
    public void Gives_two_lives()
    {
        var lives = Example.Derive().Lives;

        Assert.Equal(2, lives.Count);
        Assert.Equal((0, 300.0, LifeOutcome.Between(750, 780)),
            (lives[0].Condition.RefurbishmentCount, lives[0].EntryHours, lives[0].Outcome!.Value));
        Assert.Equal((1, 0.0, LifeOutcome.Survived(400)),
            (lives[1].Condition.RefurbishmentCount, lives[1].EntryHours, lives[1].Outcome!.Value));
        Assert.All(lives, life => Assert.True(life.Counts(includeFlagged: false)));
        Assert.Equal("Second Turn Bench", lives[1].Condition.Refurbisher);
        Assert.Equal(RemovalReason.Failed, lives[0].RemovalReason);
        Assert.Equal("no flow", lives[0].FailureMode);
        Assert.True(lives[1].InService);
        Assert.Equal(new HoursRange(750, 780), lives[1].TotalHoursBefore);
    }

    [Fact]
    public void Leaves_the_mistyped_reading_out_and_flags_it_alone()
    {
        var derived = Example.Derive();

        var mistyped = Example.Status(derived, "mistyped");
        Assert.Equal(EventStanding.LeftOut, mistyped.Standing);
        Assert.Equal(14_000, Assert.Single(mistyped.LeftOutReadings).Hours);
        Assert.Single(derived.Events, status => status.Flags.Count > 0);
    }

    [Fact]
    public void Tells_where_the_module_is_now()
    {
        var derived = Example.Derive();

        Assert.Equal(ModuleState.InService, derived.State);
        Assert.Equal("vent-9", derived.HostDevice);
        Assert.Equal(HoursRange.Known(400), derived.Age);
        Assert.Equal(5_400, derived.LastReadingHours);
        Assert.Equal(Scenario.History.Day(100), derived.LastReadingTime);
    }

    private static RunHoursReadV1 Reading(double day, double hours) =>
        new() { Readings = [MeterReading.AtInstant(Scenario.History.Day(day), hours)] };
}
