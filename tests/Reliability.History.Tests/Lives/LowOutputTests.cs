using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Lives;

/// <summary>Low output: a failure when measured, ambiguous when only stated. The threshold is 0.7 of when new.</summary>
public sealed class LowOutputTests
{
    private static Scenario.History Fitted() => new Scenario.History().Registered().OnHost(0, 0).Output(10, 0.95, 100);

    private static Life Only(Scenario.History history, DerivationOptions? options = null) =>
        Assert.Single(history.Derive(options).Lives);

    [Fact]
    public void It_failed_between_the_last_measurement_at_the_threshold_and_the_first_below()
    {
        var life = Only(Fitted().Output(20, 0.7, 200).Read(25, 250).Output(30, 0.69, 300).Output(40, 0.5, 400).Removed(41, 410));

        Assert.Equal(LifeOutcome.Between(200, 300), life.Outcome);
        Assert.Equal(FailureModes.Output, life.FailureMode);
        Assert.Equal(Scenario.History.Day(30), life.EndTime);
    }

    [Fact]
    public void A_low_measurement_that_is_followed_by_a_good_one_ends_nothing()
    {
        var history = Fitted().At(20, new OutputMeasuredV1 { Fraction = 0.5, ReadingHours = 200 }, "low").Output(30, 0.9, 300);
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Survived(300), derived.Lives[0].Outcome);
        Assert.Equal([RecordOddity.OutputRecovered], history.Status(derived, "low").Flags);
    }

    [Fact]
    public void A_measurement_on_the_bench_after_the_removal_counts_at_the_removal() =>
        Assert.Equal(
            LifeOutcome.Between(100, 220),
            Only(Fitted().Removed(22, 220, RemovalReason.LowOutput).Output(30, 0.6, null)).Outcome);

    [Fact]
    public void Acceptance_after_a_renewal_says_nothing_of_the_life_before()
    {
        var derived = Fitted().Removed(22, 220).Refurbished(25).Output(30, 0.6, null).Derive();

        Assert.Equal(LifeOutcome.Survived(220), Assert.Single(derived.Lives).Outcome);
    }

    [Fact]
    public void A_statement_that_ends_the_life_on_request_ends_it_before_a_later_failure()
    {
        var history = Fitted().Removed(22, 220, RemovalReason.LowOutput).OnHost(30, 1_000, "vent-4").Failed(40, 1_100);
        var stated = OutcomePolicy.Default with { UnmeasuredLowOutput = OutcomeVerdict.Failed };

        Assert.Equal(LifeOutcome.Between(220, 320), Only(history).Outcome);
        Assert.Equal(LifeOutcome.Between(100, 220), Only(history, new() { OutcomePolicy = stated }).Outcome);
    }

    [Fact]
    public void Stated_but_not_measured_it_survived_unless_asked_otherwise()
    {
        var history = Fitted().Removed(22, 220, RemovalReason.LowOutput);
        var failed = new DerivationOptions
        {
            OutcomePolicy = OutcomePolicy.Default with { UnmeasuredLowOutput = OutcomeVerdict.Failed },
        };

        Assert.Equal(LifeOutcome.Survived(220), Only(history).Outcome);
        Assert.Equal([LifeAmbiguity.UnmeasuredLowOutput], Only(history).Ambiguities);
        Assert.Equal(LifeOutcome.Between(100, 220), Only(history, failed).Outcome);
        Assert.Equal(FailureModes.Output, Only(history, failed).FailureMode);
    }

    [Fact]
    public void A_policy_under_which_low_output_survives_ignores_the_threshold()
    {
        var survives = new DerivationOptions
        {
            OutcomePolicy = OutcomePolicy.Default.With([new(RemovalReason.LowOutput, OutcomeVerdict.Survived)]),
        };

        Assert.Equal(
            LifeOutcome.Survived(400), Only(Fitted().Output(30, 0.6, 300).Removed(40, 400, RemovalReason.LowOutput), survives).Outcome);
    }

    [Fact]
    public void A_low_reading_is_no_good_reading_for_a_later_failure()
    {
        // Output unknown in the model's terms: neither good nor low.
        var history = Fitted().At(20, new OutputMeasuredV1 { Value = 12, ReadingHours = 200 }, "unit").Failed(26, 260);
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Between(100, 260), derived.Lives[0].Outcome);
        Assert.Equal([RecordOddity.OutputNotComparable], history.Status(derived, "unit").Flags);
    }

    [Fact]
    public void A_measurement_without_reading_takes_its_age_from_the_readings_around_it() =>
        Assert.Equal(
            LifeOutcome.Between(100, 300), Only(Fitted().Read(20, 200).Output(25, 0.5, null).Read(30, 300)).Outcome);

    [Fact]
    public void The_threshold_in_force_at_the_start_of_the_life_counts()
    {
        var catalogue = new ModuleCatalogue(
        [
            new()
            {
                Id = Scenario.History.Model,
                Versions =
                [
                    new() { EffectiveTime = Scenario.History.Day(999), OutputThreshold = new() { Fraction = 0.5 } },
                    new() { EffectiveTime = Scenario.History.Day(50), OutputThreshold = new() { Fraction = 0.8 } },
                ],
            },
        ]);
        var derived = Fitted().Output(60, 0.6, 600).Removed(61, 610).Refurbished(70)
            .OnHost(80, 0).Output(90, 0.9, 50).Output(100, 0.6, 100).Derive(catalogue: catalogue);

        Assert.Equal([LifeOutcome.Survived(610), LifeOutcome.Between(50, 100)], derived.Lives.Select(life => life.Outcome));
    }
}
