using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Meters;

/// <summary>Which readings count, and what follows for ages when some do not. Rules: the domain description, "Meters".</summary>
public sealed class MeterTests
{
    [Fact]
    public void One_mistyped_high_reading_does_not_put_the_later_ones_out()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0)
            .Read(10, 100).Read(20, 2_000).Read(30, 300).Read(40, 400).Derive();

        Assert.Equal(LifeOutcome.Survived(400), Assert.Single(derived.Lives).Outcome);
        Assert.False(derived.Lives[0].IsFlagged);
        Assert.Equal([2_000], LeftOut(derived));
    }

    [Fact]
    public void A_meter_does_not_fall_within_a_day_from_an_earlier_event_to_a_later_one()
    {
        // Out of one host at 500 and into the next at 480 on the same day: no order of readings in that day makes both true.
        var derived = new Scenario.History().Registered().OnOwnMeter(0, 0).Read(10, 240)
            .OnDay(30, new RemovedV1 { Reason = RemovalReason.Planned, ReadingHours = 500 })
            .OnDay(30, new InstalledV1 { HostDevice = "vent-4", ReadingHours = 480 })
            .Read(50, 600).Removed(60, 700).Derive();

        Assert.Equal([480], LeftOut(derived));
        Assert.True(Assert.Single(derived.Lives).IsFlagged);
    }

    [Fact]
    public void A_reading_of_the_day_of_an_install_shows_no_less_than_the_install()
    {
        // The host's meter, read in the morning before the module was fitted: no hours of the module.
        var derived = new Scenario.History().Registered()
            .OnDay(10, new InstalledV1 { HostDevice = "vent-3", Meter = MeterOwner.Host, ReadingHours = 1_200 })
            .OnDay(10, new RunHoursReadV1
            {
                Readings = [new() { Earliest = Scenario.History.Day(10), Latest = Scenario.History.Day(11), Hours = 1_190 }],
            })
            .Read(20, 1_300).Derive();

        Assert.Equal(LifeOutcome.Survived(100), Assert.Single(derived.Lives).Outcome);
        Assert.Equal([1_190], LeftOut(derived));
    }

    [Fact]
    public void Gaps_on_one_meter_share_what_it_moved_until_it_was_read_again()
    {
        // 10 hours between the readings at 5 and 40 days: unread are the end of the first spell and the start of the second.
        var life = Assert.Single(new Scenario.History().Registered(reading: 0).OnOwnMeter(0, 0).Read(5, 100)
            .Removed(20, null).OnOwnMeter(30, null).Output(40, 0.6, 110).Derive().Lives);

        Assert.Equal(LifeOutcome.Between(0, 110), life.Outcome);
    }

    [Fact]
    public void A_spell_on_another_meter_between_does_not_part_the_gaps()
    {
        // 49 hours on its own meter, unread in both spells on it; at most 24 on the host's between them.
        var life = Assert.Single(new Scenario.History().Registered(reading: 700).OnOwnMeter(2, null)
            .Removed(10, null).OnHost(12, 1_000, "vent-4").Removed(13, null).OnOwnMeter(15, null).Output(20, 0.6, 749).Derive().Lives);

        Assert.Equal(LifeOutcome.Between(0, 49 + 24), life.Outcome);
    }

    [Fact]
    public void One_mistyped_low_reading_is_left_out()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 1_000)
            .Read(10, 1_100).Read(20, 12).Read(30, 1_300).Derive();

        Assert.Equal(LifeOutcome.Survived(300), Assert.Single(derived.Lives).Outcome);
        Assert.Equal([12], LeftOut(derived));
    }

    [Fact]
    public void A_reading_that_would_need_more_than_24_hours_a_day_is_left_out()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0)
            .Read(10, 240).Read(20, 481).Read(30, 482).Derive();

        Assert.Equal(LifeOutcome.Survived(482), Assert.Single(derived.Lives).Outcome);
        Assert.Equal([481], LeftOut(derived));
    }

    [Fact]
    public void Pace_is_judged_over_the_longest_time_that_days_allow()
    {
        // From the start of day 0 to the end of day 1 there are 48 hours, and no day adds its slack twice.
        var history = new Scenario.History().Registered().OnHost(0, 0)
            .OnDay(1, DayReading(1, 48)).OnDay(2, DayReading(2, 72)).OnDay(3, DayReading(3, 97));

        Assert.Equal([97], LeftOut(history.Derive()));
    }

    [Fact]
    public void Of_equally_large_sets_the_one_with_more_readings_at_spell_ends_counts()
    {
        // One against one: what was read at the removal counts, though the other is earlier.
        var one = new Scenario.History().Registered().OnHost(0, null).Read(10, 200).Removed(30, 100).Derive();
        Assert.Equal([200], LeftOut(one));

        // Two against two: install and removal against a reading and the removal.
        var two = new Scenario.History().Registered().OnHost(0, 500).Read(10, 300).Removed(30, 520).Derive();
        Assert.Equal([300], LeftOut(two));
    }

    [Fact]
    public void A_larger_set_counts_though_another_has_the_install()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 500).Read(10, 300).Read(20, 400).Removed(30, 450).Derive();

        Assert.Equal([500], LeftOut(derived));
    }

    [Fact]
    public void Of_sets_that_are_equal_in_that_too_the_earlier_counts()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0).Read(10, 200).Read(11, 100).Derive();

        Assert.Equal([100], LeftOut(derived));
        Assert.Equal(LifeOutcome.Survived(200), derived.Lives[0].Outcome);
    }

    [Fact]
    public void A_life_that_rests_on_a_left_out_reading_is_flagged()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 9_000)
            .Read(10, 100).Read(20, 200).Read(30, 300).Derive();

        var life = Assert.Single(derived.Lives);
        Assert.Equal([RecordOddity.ReadingLeftOut], life.Flags);
        Assert.False(life.Counts(includeFlagged: false));
        Assert.True(life.Counts(includeFlagged: true));

        // The first reading that counts shows 100: the module ran between 0 and 100 hours before, 200 to 300 in all.
        Assert.Equal(LifeOutcome.Survived(200), life.Outcome);
        Assert.Equal(new HoursRange(200, 300), derived.Age);
    }

    [Fact]
    public void A_removal_whose_reading_is_mistyped_still_counts_and_flags_the_life()
    {
        var history = new Scenario.History().Registered().OnHost(0, 0).Read(10, 100).Read(20, 200)
            .At(30, new RemovedV1 { Reason = RemovalReason.Planned, ReadingHours = 30 }, "removal");
        var derived = history.Derive();

        Assert.Equal(EventStanding.Counted, history.Status(derived, "removal").Standing);
        Assert.Equal([RecordOddity.ReadingLeftOut], derived.Lives[0].Flags);
        Assert.Equal(ModuleState.OnShelf, derived.State);
    }

    [Fact]
    public void Three_left_out_readings_in_a_row_that_fit_each_other_make_the_age_a_range()
    {
        // Reset somewhere between day 40 and day 50: 400 h before, 40 h after, and from none to 240 h unread between.
        var history = new Scenario.History().Registered().OnHost(0, 0)
            .Read(10, 100).Read(20, 200).Read(30, 300).Read(40, 400).Read(50, 10).Read(60, 30).Read(70, 50);
        var derived = history.Derive();

        Assert.Equal(new HoursRange(440, 680), derived.Age);
        Assert.Equal(LifeOutcome.Survived(440), derived.Lives[0].Outcome);
        Assert.Equal([RecordOddity.SuspectedReset], derived.Lives[0].Flags);
        Assert.Equal(3, derived.Events.Count(status => status.Flags.Contains(RecordOddity.SuspectedReset)));

        var failed = history.Failed(80, 60).Derive();
        Assert.Equal(LifeOutcome.Between(440, 690), failed.Lives[0].Outcome);
    }

    [Fact]
    public void Two_left_out_readings_are_no_reset()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0)
            .Read(10, 100).Read(20, 200).Read(30, 300).Read(40, 10).Read(50, 20).Derive();

        Assert.Equal(HoursRange.Known(300), derived.Age);
        Assert.False(derived.Lives[0].IsFlagged);
        Assert.Equal([10, 20], LeftOut(derived));
    }

    [Fact]
    public void A_meter_change_without_a_final_reading_makes_the_age_a_range()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0).Read(10, 100)
            .At(12, new MeterChangedV1 { FirstHours = 5 }).Read(20, 55).Derive();

        Assert.Equal(new HoursRange(150, 198), derived.Age);
        Assert.Equal(LifeOutcome.Survived(150), derived.Lives[0].Outcome);
    }

    [Fact]
    public void One_meter_change_reported_by_two_systems_counts_once()
    {
        var history = new Scenario.History().Registered().OnHost(0, 1_000)
            .At(30, new MeterChangedV1 { FinalHours = 1_500, FirstHours = 0 })
            .At(30.5, new MeterChangedV1 { FinalHours = 1_500, FirstHours = 0 }, "again")
            .Read(40, 50);
        var derived = history.Derive();

        Assert.Equal(HoursRange.Known(550), derived.Age);
        Assert.Equal(EventStanding.Duplicate, history.Status(derived, "again").Standing);
    }

    [Fact]
    public void An_install_without_reading_on_the_own_meter_lies_between_the_readings_around_it()
    {
        var derived = new Scenario.History().Registered(reading: 40).OnOwnMeter(5, null).Read(20, 100).Read(30, 200).Derive();

        Assert.Equal(new HoursRange(100, 160), derived.Age);
    }

    [Fact]
    public void Hours_that_the_own_meter_shows_between_spells_belong_to_no_spell()
    {
        var derived = new Scenario.History().Registered(reading: 0)
            .OnOwnMeter(1, 0).Removed(30, 300).OnOwnMeter(40, 310, "vent-8").Read(50, 400).Derive();

        Assert.Equal(HoursRange.Known(390), derived.Age);
        Assert.Single(derived.Lives);
    }

    [Fact]
    public void A_reading_on_the_day_of_a_meter_change_goes_to_the_side_it_fits()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 1_000)
            .OnDay(30, new MeterChangedV1 { FinalHours = 1_500, FirstHours = 0 })
            .Read(30.4, 1_490).Read(30.6, 3).Read(40, 60).Derive();

        Assert.Empty(LeftOut(derived));
        Assert.Equal(HoursRange.Known(560), derived.Age);
    }

    [Fact]
    public void A_reading_of_a_meter_that_does_not_count_is_kept_and_not_used()
    {
        var history = new Scenario.History().Registered().OnHost(0, 1_000).Read(10, 1_100)
            .At(11, new RunHoursReadV1
            {
                Meter = MeterOwner.Module,
                Readings = [MeterReading.AtInstant(Scenario.History.Day(11), 9_000)],
            }, "own");
        var derived = history.Derive();

        Assert.Equal([RecordOddity.ReadingNotUsed], history.Status(derived, "own").Flags);
        Assert.Equal(HoursRange.Known(100), derived.Age);
    }

    [Fact]
    public void Rates_may_be_taken_across_a_meter_change_but_not_across_spells()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 1_000).Read(10, 1_100)
            .At(12, new MeterChangedV1 { FinalHours = 1_120, FirstHours = 0 }).Read(20, 80)
            .Removed(21, 90).OnHost(30, 7_000, "vent-8").Read(40, 7_050).Derive();

        Assert.Equal([0, 100, 120, 120, 200, 210, 0, 50], derived.Usage.Select(point => point.Hours));
        Assert.Equal([1, 1, 1, 1, 1, 1, 2, 2], derived.Usage.Select(point => point.Stretch));
    }

    private static RunHoursReadV1 DayReading(int day, double hours) => new()
    {
        Readings = [new() { Earliest = Scenario.History.Day(day), Latest = Scenario.History.Day(day + 1), Hours = hours }],
    };

    private static double[] LeftOut(DerivedModule derived) =>
        [.. derived.Events.SelectMany(status => status.LeftOutReadings).Select(reading => reading.Hours).Order()];

    // The two that follow were found by the model check: which of readings that show the same comes first hung on their ids.
    [Theory]
    [InlineData("1")]
    [InlineData("2")]
    [InlineData("3")]
    [InlineData("4")]
    public void Of_two_readings_that_show_the_same_the_later_one_bounds_what_went_unread(string ids)
    {
        var derived = new Scenario.History().Registered(1.25, age: 300)
            .At(1.5, new InstalledV1 { HostDevice = "vent-4", Meter = MeterOwner.Host, ReadingHours = 1_902, MeterStopsAtFailure = true })
            .OnDay(2, new RunHoursReadV1 { Readings = [new() { Earliest = Scenario.History.Day(2), Latest = Scenario.History.Day(3), Hours = 1_932 }] }, "day " + ids)
            .Read(2.75, 1_932, "instant " + ids)
            .At(7.25, new MeterChangedV1 { FinalHours = 3_038, FirstHours = 348 })
            .OnDay(8, new RemovedV1 { Reason = RemovalReason.Failed, ReadingHours = 386 }).Derive();

        // 30 h and 38 h were read; the final reading is mistyped, and from day 2.75 to day 7.25 there are 108 h.
        Assert.Equal(LifeOutcome.Between(368, 476), Assert.Single(derived.Lives).Outcome);
    }

    [Fact]
    public void A_reading_before_work_stands_before_that_of_the_install_after_it_although_both_show_the_same()
    {
        var derived = new Scenario.History()
            .OnDay(1, new RegisteredV1 { Model = Scenario.History.Model, AgeHours = 0, ReadingHours = 7 })
            .OnOwnMeter(1.625, 0)
            .OnDay(4, new FailedV1 { ReadingHours = 1_022 })
            .OnDay(5, new RefurbishedV1 { RenewsWearingPart = RenewalStatement.Yes, ReadingBeforeHours = 26 })
            .OnDay(5, new InstalledV1 { HostDevice = "vent-3", ReadingHours = 26 }).Read(5.25, 26).Read(8, 45).Derive();

        // What was read at the install was less than at the registration. By the work 19 h more than then had passed.
        Assert.Equal([LifeOutcome.Between(0, 19), LifeOutcome.Survived(19)], derived.Lives.Select(life => life.Outcome));
    }
}
