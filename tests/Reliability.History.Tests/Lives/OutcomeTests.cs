using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Lives;

/// <summary>How lives end. Rules: the domain description, "From events to lives".</summary>
public sealed class OutcomeTests
{
    private static Scenario.History OnHost() => new Scenario.History().Registered().OnHost(0, 1_000).Read(10, 1_100).Read(20, 1_200);

    private static Scenario.History OnOwnMeter() =>
        new Scenario.History().Registered(reading: 0).OnOwnMeter(0, 0).Read(10, 100).Read(20, 200);

    private static Life Only(Scenario.History history, DerivationOptions? options = null) =>
        Assert.Single(history.Derive(options).Lives);

    [Fact]
    public void In_service_it_survived_to_the_last_reading()
    {
        var life = Only(OnHost());

        Assert.Equal(LifeOutcome.Survived(200), life.Outcome);
        Assert.True(life.InService);
        Assert.Equal(Scenario.History.Day(20), life.EndTime);
    }

    [Fact]
    public void A_failure_found_on_a_meter_that_runs_on_lies_between_the_last_good_reading_and_the_discovery() =>
        Assert.Equal(LifeOutcome.Between(200, 260), Only(OnHost().Failed(26, 1_260)).Outcome);

    [Fact]
    public void The_moment_of_failure_is_exact() =>
        Assert.Equal(LifeOutcome.Failed(260), Only(OnHost().Failed(26, 1_260, moment: true)).Outcome);

    [Fact]
    public void A_meter_that_stops_with_the_module_makes_the_failure_exact()
    {
        Assert.Equal(LifeOutcome.Failed(260), Only(OnOwnMeter().Failed(26, 260)).Outcome);
        Assert.Equal(LifeOutcome.Failed(260), Only(OnOwnMeter().Failed(26, null).Removed(27, 260, RemovalReason.Failed)).Outcome);
        Assert.Equal(LifeOutcome.Failed(260), Only(OnOwnMeter().Removed(27, 260, RemovalReason.Failed)).Outcome);
    }

    [Fact]
    public void A_failure_found_without_a_reading_lies_below_what_the_time_allows() =>
        Assert.Equal(LifeOutcome.Between(200, 224), Only(OnHost().Failed(21, null)).Outcome);

    [Fact]
    public void A_failure_found_without_a_reading_lies_below_the_reading_at_the_removal() =>
        Assert.Equal(
            LifeOutcome.Between(200, 203), Only(OnHost().Failed(21, null).Removed(21.5, 1_203, RemovalReason.Failed)).Outcome);

    [Fact]
    public void A_moment_of_failure_without_a_reading_lies_above_what_the_time_to_the_next_reading_allows() =>
        Assert.Equal(
            LifeOutcome.Between(250, 274),
            Only(OnHost().Failed(24, null, moment: true).Removed(25, 1_274, RemovalReason.Failed)).Outcome);

    [Fact]
    public void The_moment_of_failure_at_an_age_that_is_a_range_lies_in_that_range()
    {
        // Aged 300 when the meter showed something from 100 to 124, a day after the first reading; failed at 130.
        var history = new Scenario.History().OnOwnMeter(2, 100).Registered(3, age: 300).Read(5, 129).Failed(5.5, 130);

        Assert.Equal(LifeOutcome.Between(306, 330), Only(history).Outcome);
    }

    [Fact]
    public void Without_any_good_reading_it_lies_above_the_entry_age()
    {
        var life = Only(new Scenario.History().Registered(age: 300).OnHost(0, null).Failed(26, 1_260));

        // The host's meter cannot have counted more than 26 days of hours.
        Assert.Equal(LifeOutcome.Between(300, 300 + (26 * 24)), life.Outcome);
    }

    [Fact]
    public void A_removal_for_failure_is_a_discovery_by_a_mode_nobody_knows()
    {
        var life = Only(OnHost().Removed(27, 1_270, RemovalReason.Failed));

        Assert.Equal(LifeOutcome.Between(200, 270), life.Outcome);
        Assert.Null(life.FailureMode);
        Assert.True(life.EndedInFailure);
    }

    [Fact]
    public void A_failure_on_the_shelf_lies_below_the_reading_at_the_removal()
    {
        var life = Only(OnHost().Removed(27, 1_270).Failed(60, null, "seized"));

        Assert.Equal(LifeOutcome.Between(200, 270), life.Outcome);
        Assert.Equal("seized", life.FailureMode);
    }

    [Fact]
    public void A_failure_on_the_shelf_is_exact_when_it_was_last_seen_working_at_the_removal() =>
        Assert.Equal(LifeOutcome.Failed(270), Only(OnHost().Read(26.9, 1_270).Removed(27, 1_270).Failed(60, null)).Outcome);

    [Fact]
    public void Removed_in_working_order_it_survived()
    {
        var life = Only(OnHost().Removed(27, 1_270));

        Assert.Equal(LifeOutcome.Survived(270), life.Outcome);
        Assert.Equal(RemovalReason.Planned, life.RemovalReason);
        Assert.False(life.InService);
    }

    [Fact]
    public void A_life_goes_on_over_several_spells() =>
        Assert.Equal(
            LifeOutcome.Between(320, 350),
            Only(OnHost().Removed(27, 1_270).OnHost(30, 40, "vent-9").Read(40, 90).Failed(45, 120)).Outcome);

    [Fact]
    public void A_policy_can_make_a_planned_removal_a_failure_or_leave_it_out()
    {
        static DerivationOptions With(OutcomeVerdict verdict) =>
            new() { OutcomePolicy = OutcomePolicy.Default.With([new(RemovalReason.Planned, verdict)]) };

        var history = OnHost().Removed(27, 1_270);
        Assert.Equal(LifeOutcome.Between(200, 270), Only(history, With(OutcomeVerdict.Failed)).Outcome);
        Assert.Equal(LifeExclusion.ExcludedByPolicy, Only(history, With(OutcomeVerdict.Excluded)).Exclusion);
    }

    [Fact]
    public void Removed_for_any_other_reason_it_survived_and_is_ambiguous() =>
        Assert.Equal([LifeAmbiguity.OtherReason], Only(OnHost().Removed(27, 1_270, RemovalReason.Other)).Ambiguities);

    [Fact]
    public void A_module_retired_for_failure_while_fitted_failed()
    {
        var life = Only(OnHost().At(21, new RetiredV1 { Reason = RetiredV1.FailedReason }));

        Assert.Equal(LifeOutcome.Between(200, 224), life.Outcome);
    }

    [Fact]
    public void A_reading_after_the_discovery_does_not_show_it_working() =>
        Assert.Equal(LifeOutcome.Between(200, 260), Only(OnHost().Failed(26, 1_260).Read(27, 1_280).Removed(28, 1_290)).Outcome);

    [Fact]
    public void Without_a_reading_after_entry_there_is_no_exposure() =>
        Assert.Equal(LifeExclusion.NoExposure, Only(new Scenario.History().Registered().OnHost(0, 1_000)).Exclusion);

    [Fact]
    public void Nothing_after_the_cutoff_counts_for_failures_and_survivors_alike()
    {
        var cutoff = new DerivationOptions { DataCutoffTime = Scenario.History.Day(15) };

        Assert.Equal(LifeOutcome.Survived(100), Only(OnHost(), cutoff).Outcome);
        Assert.Equal(LifeOutcome.Survived(100), Only(OnHost().Failed(26, 1_260), cutoff).Outcome);
    }

    [Fact]
    public void A_failure_by_another_mode_than_the_one_asked_for_survived_so_far()
    {
        var history = OnHost().Failed(26, 1_260, "noise");

        Assert.Equal(LifeOutcome.Survived(200), Only(history, new() { FailureMode = "no flow" }).Outcome);
        Assert.Equal(LifeOutcome.Between(200, 260), Only(history, new() { FailureMode = "noise" }).Outcome);
        Assert.Equal(
            [LifeAmbiguity.FailureModeUnknown],
            Only(OnHost().Failed(26, 1_260, null), new() { FailureMode = "noise" }).Ambiguities);
    }

    [Fact]
    public void The_life_tells_its_attributes_as_of_its_start()
    {
        var life = Only(OnHost().Removed(27, 1_270).At(30, new InstalledV1 { HostDevice = "vent-9", Site = "Orrowby Infirmary" }));

        Assert.Equal(("vent-3", "Quennick General", 20_000.0), (life.HostDevice, life.Site, life.RatedHours!.Value));
        Assert.Equal(Scenario.History.Day(0), life.StartTime);
    }
}
