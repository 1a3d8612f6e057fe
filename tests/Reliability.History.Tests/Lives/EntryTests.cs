using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Lives;

/// <summary>From which age on a life counts, and which records would bias every answer.</summary>
public sealed class EntryTests
{
    private static Life Only(Scenario.History history, DerivationOptions? options = null) =>
        Assert.Single(history.Derive(options).Lives);

    private static Scenario.History OpenedLate(double? age = 0, double? completeFrom = null) =>
        new Scenario.History().OnHost(10, 1_000).Read(20, 1_100).Removed(40, 1_300, RemovalReason.Failed)
            .Registered(50, age, completeFrom: completeFrom is { } day ? Scenario.History.Day(day) : null);

    [Fact]
    public void New_at_300_hours_is_a_late_entry_at_300()
    {
        var life = Only(new Scenario.History().Registered(age: 300).OnHost(1, 1_000).Read(20, 1_100));

        Assert.Equal((300.0, LifeOutcome.Survived(400)), (life.EntryHours, life.Outcome!.Value));
    }

    [Fact]
    public void An_unknown_age_is_excluded_and_never_zero()
    {
        var life = Only(new Scenario.History().Registered(age: null).OnHost(1, 1_000).Read(20, 1_100));

        Assert.Equal(LifeExclusion.EntryAgeUnknown, life.Exclusion);
        Assert.Null(life.Outcome);
    }

    [Fact]
    public void A_life_after_a_renewal_enters_at_zero_whatever_the_first_age()
    {
        var derived = new Scenario.History().Registered(age: null).OnHost(1, 1_000).Removed(20, 1_100)
            .Refurbished(30).OnHost(40, 0).Read(50, 90).Derive();

        Assert.Equal([LifeExclusion.EntryAgeUnknown, null], derived.Lives.Select(life => life.Exclusion));
        Assert.Equal((0.0, LifeOutcome.Survived(90)), (derived.Lives[1].EntryHours, derived.Lives[1].Outcome!.Value));
    }

    [Fact]
    public void Registered_with_an_age_while_fitted_counts_from_that_age()
    {
        var life = Only(new Scenario.History().OnHost(0, 1_000).Read(10, 1_100).Registered(10, age: 700).Read(20, 1_150));

        Assert.Equal((700.0, LifeOutcome.Survived(750)), (life.EntryHours, life.Outcome!.Value));
    }

    [Fact]
    public void Registered_between_readings_the_age_is_a_range()
    {
        var history = new Scenario.History().OnHost(0, 1_000).Read(10, 1_100).Registered(15, age: 700).Read(20, 1_150).Failed(30, 1_200);

        Assert.Equal(LifeOutcome.Between(700, 800), Only(history).Outcome);
    }

    [Fact]
    public void Registered_as_of_age_zero_after_the_install_it_counts_from_the_first_reading_after()
    {
        var life = Only(new Scenario.History().OnHost(0, 1_000).Read(10, 1_100).Registered(15).Read(20, 1_150).Read(30, 1_200));

        Assert.Equal((150.0, LifeOutcome.Survived(200)), (life.EntryHours, life.Outcome!.Value));
    }

    [Fact]
    public void A_record_opened_when_the_outcome_was_known_is_excluded()
    {
        Assert.Equal(LifeExclusion.OpenedAfterOutcome, Only(OpenedLate()).Exclusion);
        var survivor = new Scenario.History().OnHost(10, 1_000).Read(20, 1_100).Removed(40, 1_300).Registered(40);
        Assert.Equal(LifeExclusion.OpenedAfterOutcome, Only(survivor).Exclusion);
    }

    [Fact]
    public void A_source_that_lists_every_life_admits_it()
    {
        var life = Only(OpenedLate(completeFrom: 5));

        Assert.Null(life.Exclusion);
        Assert.Equal((0.0, LifeOutcome.Between(100, 300)), (life.EntryHours, life.Outcome!.Value));
    }

    [Fact]
    public void Hours_run_on_when_the_life_was_over_do_not_begin_its_observation()
    {
        // Fitted before it was registered at age 0, taken out unread since; the reading in the next host is of no life.
        var history = new Scenario.History().OnHost(0, null).Registered(10).Removed(20, 154)
            .OnHost(30, null, "vent-4").Read(40, 618);
        var policy = OutcomePolicy.Default.With([new(RemovalReason.Planned, OutcomeVerdict.Excluded)]);

        Assert.Equal(LifeExclusion.NoExposure, Only(history, new() { OutcomePolicy = policy }).Exclusion);
    }

    [Fact]
    public void A_life_that_ended_before_the_list_is_complete_is_excluded() =>
        Assert.Equal(LifeExclusion.EndedBeforeComplete, Only(OpenedLate(completeFrom: 45)).Exclusion);

    [Fact]
    public void A_life_that_began_before_the_list_is_complete_needs_its_age_then()
    {
        Assert.Equal(LifeExclusion.EntryAgeUnknown, Only(OpenedLate(completeFrom: 20)).Exclusion);
        var stated = Only(OpenedLate(age: 100, completeFrom: 20));
        Assert.Equal((100.0, LifeOutcome.Between(100, 300)), (stated.EntryHours, stated.Outcome!.Value));
    }

    [Fact]
    public void A_life_under_observation_is_admitted_though_one_before_it_was_opened_late()
    {
        var derived = OpenedLate().Refurbished(60).OnHost(70, 0).Read(80, 100).Derive();

        Assert.Equal([LifeExclusion.OpenedAfterOutcome, null], derived.Lives.Select(life => life.Exclusion));
    }

    [Fact]
    public void The_condition_stated_at_a_late_registration_is_that_of_the_last_life()
    {
        var derived = new Scenario.History().OnHost(0, 0).Removed(20, 200).Refurbished(25).OnHost(30, 0)
            .At(30, new RegisteredV1 { Model = Scenario.History.Model, AgeHours = 0, Condition = new() { RefurbishmentCount = 1, Refurbisher = "Second Turn Bench" } })
            .Read(40, 100).Derive();

        Assert.Equal([0, 1], derived.Lives.Select(life => life.Condition.RefurbishmentCount));
        Assert.Equal([LifeExclusion.OpenedAfterOutcome, null], derived.Lives.Select(life => life.Exclusion));
    }

    [Fact]
    public void Record_time_never_influences_a_life()
    {
        var history = OpenedLate();
        var early = history.Events.Select(e => e with { RecordTime = Scenario.History.Origin.AddYears(-9) }).ToList();

        Assert.Equal(
            history.Derive().Lives[0].Exclusion,
            LifeDerivation.Derive(new(Scenario.History.Module, early), Scenario.History.Catalogue).Lives[0].Exclusion);
    }

    [Fact]
    public void Without_an_install_the_own_meter_read_at_registration_gives_the_life()
    {
        var history = new Scenario.History().Registered(age: 50, reading: 500).Read(10, 600).Removed(20, 700, RemovalReason.Failed);
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Failed(250), Assert.Single(derived.Lives).Outcome);
        Assert.Contains(derived.Events, status => status.Flags.Contains(RecordOddity.InstallMissing));
        Assert.Equal(LifeOutcome.Survived(150), Only(new Scenario.History().Registered(age: 50, reading: 500).Read(10, 600)).Outcome);
    }

    [Fact]
    public void Without_an_install_and_such_a_reading_it_is_listed_with_the_outcome_reported()
    {
        var derived = new Scenario.History().Registered().Read(10, 600).Removed(20, 700, RemovalReason.Failed).Derive();

        var life = Assert.Single(derived.Lives);
        Assert.Equal(LifeExclusion.InstallMissing, life.Exclusion);
        Assert.True(life.EndedInFailure);
        Assert.Equal(RemovalReason.Failed, life.RemovalReason);
        Assert.Equal(2, derived.Events.Count(status => status.UnresolvedReason == UnresolvedReason.InstallMissing));
    }
}
