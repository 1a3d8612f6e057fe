using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Ordering;

/// <summary>In which order events count. Rules: the domain description, "Order" and "Duplicates".</summary>
public sealed class OrderTests
{
    [Fact]
    public void At_one_instant_a_module_is_removed_before_it_is_installed()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0)
            .OnHost(30, 8_000, "vent-8").Removed(30, 200).Read(40, 8_050).Derive();

        Assert.Equal(HoursRange.Known(250), derived.Age);
        Assert.Equal("vent-8", derived.HostDevice);
        Assert.Equal(2, derived.Spells.Count);
    }

    [Fact]
    public void A_day_with_install_failure_and_removal_is_read_in_the_order_that_is_possible()
    {
        var derived = new Scenario.History().Registered()
            .OnDay(5, new RemovedV1 { Reason = RemovalReason.Failed, ReadingHours = 108 })
            .OnDay(5, new FailedV1 { ReadingHours = 107, Mode = "noise" })
            .OnDay(5, new InstalledV1 { HostDevice = "vent-3", Meter = MeterOwner.Host, ReadingHours = 100 }).Derive();

        var life = Assert.Single(derived.Lives);
        Assert.Equal(LifeOutcome.Between(0, 7), life.Outcome);
        Assert.Equal(ModuleState.Removed, derived.State);
    }

    [Fact]
    public void A_refurbishment_of_the_day_moves_between_the_removal_and_the_install_of_that_day()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0).Removed(30.5, 300)
            .OnDay(30, new RefurbishedV1 { RenewsWearingPart = RenewalStatement.Yes, By = "Vennick Works" })
            .OnHost(30.8, 7_000, "vent-8").Read(40, 7_080).Derive();

        Assert.Equal([LifeOutcome.Survived(300), LifeOutcome.Survived(80)], derived.Lives.Select(life => life.Outcome));
        Assert.Empty(derived.Events.SelectMany(status => status.Flags));
    }

    [Fact]
    public void The_move_within_a_day_looks_at_what_comes_after()
    {
        // Fitted on day 5 and taken out on day 5: whether it was in before is told by the removal of day 40.
        var derived = new Scenario.History().Registered()
            .OnDay(5, new RemovedV1 { Reason = RemovalReason.Planned, ReadingHours = 105 })
            .OnDay(5, new InstalledV1 { HostDevice = "vent-3", Meter = MeterOwner.Host, ReadingHours = 100 })
            .OnDay(7, new InstalledV1 { HostDevice = "vent-4", Meter = MeterOwner.Host, ReadingHours = 900 })
            .Removed(40, 1_000).Derive();

        Assert.Equal(LifeOutcome.Survived(105), Assert.Single(derived.Lives).Outcome);
        Assert.Empty(derived.Events.SelectMany(status => status.Flags));
    }

    // The three that follow were found by the model check: what a day moved behind something else began no earlier than that.
    [Fact]
    public void A_reading_of_a_day_is_not_of_an_install_that_was_moved_behind_a_later_removal()
    {
        var derived = new Scenario.History().Registered().OnHost(0.625, 1_985)
            .OnDay(5, new InstalledV1 { HostDevice = "vent-3", Meter = MeterOwner.Host, ReadingHours = 2_092 })
            .OnDay(5, OnDay(5, 2_093, MeterOwner.Host)).Refurbished(5.125).Removed(5.5, 2_096).Derive();

        // 108 h from the install at 15:00 to the work on the fifth day after at 3:00: the first stay can have come to 2,093.
        Assert.Equal(LifeOutcome.Survived(108), derived.Lives[0].Outcome);
        Assert.Equal(LifeExclusion.NoExposure, derived.Lives[1].Exclusion);
    }

    [Fact]
    public void A_reading_of_a_day_is_not_of_a_hosts_meter_that_was_changed_behind_the_install()
    {
        var history = new Scenario.History().Registered(1.0625, age: 50)
            .OnDay(1, new MeterChangedV1 { Meter = MeterOwner.Host, FinalHours = 9_160, FirstHours = 0 })
            .OnDay(1, OnDay(1, 0, MeterOwner.Host), "read").OnHost(1.125, null)
            .OnDay(2, new RemovedV1 { Reason = RemovalReason.Failed, ReadingHours = 1_000 });

        Assert.Equal(UnresolvedReason.InstallMissing, history.Status(history.Derive(), "read").UnresolvedReason);
    }

    [Fact]
    public void A_reading_of_a_day_is_not_of_a_meter_of_its_own_that_was_changed_behind_the_install()
    {
        var history = new Scenario.History().Registered().Removed(10.75, 11)
            .OnDay(15, new MeterChangedV1 { FinalHours = 1, FirstHours = 1_000 })
            .OnDay(15, OnDay(15, 20), "read").OnOwnMeter(15.5, 110);

        Assert.Equal(UnresolvedReason.InstallMissing, history.Status(history.Derive(), "read").UnresolvedReason);
    }

    [Fact]
    public void A_second_failure_of_a_spell_reports_the_first_again()
    {
        var history = new Scenario.History().Registered().OnHost(0, 0).Read(10, 100)
            .At(20, new FailedV1 { ReadingHours = 150 }, "first")
            .At(21, new FailedV1 { ReadingHours = 152, Mode = "noise" }, "second")
            .Removed(22, 160, RemovalReason.Failed);
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Between(100, 150), Assert.Single(derived.Lives).Outcome);
        Assert.Equal("noise", derived.Lives[0].FailureMode);
        var second = history.Status(derived, "second");
        Assert.Equal(EventStanding.Duplicate, second.Standing);
        Assert.Equal(history.Status(derived, "first").EventId, second.RelatedEventId);
    }

    [Fact]
    public void A_second_removal_that_shows_less_is_flagged()
    {
        var history = new Scenario.History().Registered().OnHost(0, 0).Read(10, 100).Removed(20, 180)
            .At(21, new RemovedV1 { Reason = RemovalReason.Planned, ReadingHours = 170 }, "again");
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Survived(180), Assert.Single(derived.Lives).Outcome);
        Assert.Equal(EventStanding.Duplicate, history.Status(derived, "again").Standing);
        Assert.Equal([RecordOddity.LowerReadingInReport], history.Status(derived, "again").Flags);
    }

    [Fact]
    public void The_bench_may_say_how_a_failure_showed_for_which_a_module_was_removed()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0).Read(10, 100)
            .Removed(20, 180, RemovalReason.Failed).Failed(25, null, "bearing").Derive();

        Assert.Equal(LifeOutcome.Between(100, 180), Assert.Single(derived.Lives).Outcome);
        Assert.Equal("bearing", derived.Lives[0].FailureMode);
    }

    [Fact]
    public void An_install_that_two_systems_report_is_one()
    {
        var history = new Scenario.History().Registered().OnHost(0, 0)
            .At(0.5, new InstalledV1 { HostDevice = "vent-3", Meter = MeterOwner.Host, ReadingHours = 3 }, "again")
            .Read(10, 100);
        var derived = history.Derive();

        Assert.Single(derived.Spells);
        Assert.Equal(EventStanding.Duplicate, history.Status(derived, "again").Standing);
        Assert.Equal(HoursRange.Known(100), derived.Age);
    }

    [Fact]
    public void An_install_elsewhere_shows_that_a_removal_is_missing()
    {
        var history = new Scenario.History().Registered().OnHost(0, 0).Read(10, 100)
            .At(12, new InstalledV1 { HostDevice = "vent-9", Meter = MeterOwner.Host, ReadingHours = 500 }, "elsewhere")
            .Read(20, 600);
        var derived = history.Derive();

        // Up to two days on the first host went unread.
        Assert.Equal(new HoursRange(200, 248), derived.Age);
        Assert.Equal([RecordOddity.RemovalMissing], history.Status(derived, "elsewhere").Flags);
    }

    [Fact]
    public void One_refurbishment_that_two_systems_report_counts_once()
    {
        var history = new Scenario.History().Registered().OnHost(0, 0).Removed(30, 300).Refurbished(40)
            .At(42, new RefurbishedV1 { By = "Vennick Works", RenewsWearingPart = RenewalStatement.Yes }, "again")
            .OnHost(50, 0).Read(60, 50);
        var derived = history.Derive();

        Assert.Equal(1, derived.Condition!.RefurbishmentCount);
        Assert.Equal([RecordOddity.ConflictingReport], history.Status(derived, "again").Flags);
    }

    [Fact]
    public void A_second_registration_changes_nothing()
    {
        var history = new Scenario.History().Registered()
            .At(3, new RegisteredV1 { Model = Scenario.History.Model, AgeHours = 900 }, "again").OnHost(4, 0).Read(10, 50);
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Survived(50), Assert.Single(derived.Lives).Outcome);
        Assert.Equal(EventStanding.Duplicate, history.Status(derived, "again").Standing);
        Assert.Equal([RecordOddity.RegisteredAgain], history.Status(derived, "again").Flags);
    }

    private static RunHoursReadV1 OnDay(int day, double hours, MeterOwner? meter = null) => new()
    {
        Meter = meter,
        Readings = [new() { Earliest = Scenario.History.Day(day), Latest = Scenario.History.Day(day + 1), Hours = hours }],
    };
}
