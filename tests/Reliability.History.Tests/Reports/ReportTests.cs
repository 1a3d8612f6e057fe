using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Reports;

/// <summary>Whole lives in a row. Rules: the domain description, LifeReported and "Duplicates".</summary>
public sealed class ReportTests
{
    private static LifeReportedV1 Row(
        double end, double age, ReportedOutcome outcome = ReportedOutcome.Survived, double start = 10, double? from = 0) => new()
        {
            Model = Scenario.History.Model,
            Identifiers = [new() { Kind = IdentifierKind.Serial, Value = "VB-0017" }],
            Site = "Orrowby Infirmary",
            Start = Occurrence.AtInstant(Scenario.History.Day(start)),
            End = Occurrence.AtInstant(Scenario.History.Day(end)),
            AgeAtEndHours = age,
            Outcome = outcome,
            CompleteFrom = from is { } day ? Scenario.History.Day(day) : null,
        };

    private static Scenario.History Sheet(params LifeReportedV1[] rows)
    {
        var history = new Scenario.History();
        foreach (var row in rows)
            history.At(500, row);
        return history;
    }

    private static Life Only(params LifeReportedV1[] rows) => Assert.Single(Sheet(rows).Derive().Lives);

    [Fact]
    public void A_row_is_a_life()
    {
        var derived = Sheet(Row(100, 900) with { InService = true }).Derive();
        var life = Assert.Single(derived.Lives);

        Assert.Equal((LifeOutcome.Survived(900), 0.0, true), (life.Outcome!.Value, life.EntryHours, life.Counts(false)));
        Assert.Equal(("Orrowby Infirmary", LifeOrigin.Report), (life.Site, life.Origin));
        Assert.Equal((ModuleState.InService, HoursRange.Known(900)), (derived.State, derived.Age!.Value));
        Assert.Equal("VB-0017", Assert.Single(derived.Identifiers).Value);
    }

    [Fact]
    public void A_failure_lies_between_last_working_and_end_unless_it_is_the_moment()
    {
        var failed = Row(100, 900, ReportedOutcome.Failed);

        Assert.Equal(LifeOutcome.Between(0, 900), Only(failed).Outcome);
        Assert.Equal(LifeOutcome.Between(850, 900), Only(failed with { AgeLastWorkingHours = 850 }).Outcome);
        Assert.Equal(LifeOutcome.Failed(900), Only(failed with { FailureMoment = true }).Outcome);
        Assert.Equal(
            LifeOutcome.Between(400, 900), Only(failed with { AgeAtObservationHours = 400, AgeLastWorkingHours = 100 }).Outcome);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_file_posted_with_and_without_the_date_counts_as_with_it_in_either_order(bool forgottenFirst)
    {
        var (with, without) = (Row(100, 900), Row(100, 900, from: null));

        var life = forgottenFirst ? Only(without, with) : Only(with, without);

        Assert.True(life.Counts(false));
    }

    [Fact]
    public void A_later_row_of_the_source_that_does_not_repeat_the_date_takes_nothing_back()
    {
        var life = Only(Row(100, 900), Row(130, 1_100, from: null));

        Assert.Equal((true, LifeOutcome.Survived(1_100)), (life.Counts(false), life.Outcome!.Value));
    }

    [Fact]
    public void Without_a_date_from_which_the_source_lists_every_life_it_is_excluded_whatever_its_outcome()
    {
        Assert.Equal(LifeExclusion.OpenedAfterOutcome, Only(Row(100, 900, from: null)).Exclusion);
        Assert.Equal(LifeExclusion.OpenedAfterOutcome, Only(Row(100, 900, ReportedOutcome.Failed, from: null)).Exclusion);
    }

    [Fact]
    public void A_module_registered_before_needs_no_such_date()
    {
        var life = Assert.Single(Sheet(Row(100, 900, from: null)).Registered(5).Derive().Lives);

        Assert.Null(life.Exclusion);
        Assert.Equal(0, life.EntryHours);
    }

    [Fact]
    public void A_life_that_began_before_that_date_needs_its_age_then()
    {
        Assert.Equal(LifeExclusion.EntryAgeUnknown, Only(Row(100, 900, from: 50)).Exclusion);
        Assert.Equal(LifeExclusion.EntryAgeUnknown, Only(Row(100, 900, from: 50) with { AgeAtObservationHours = 0 }).Exclusion);
        Assert.Equal(LifeExclusion.EndedBeforeComplete, Only(Row(100, 900, from: 200)).Exclusion);
        var stated = Only(Row(100, 900, from: 50) with { AgeAtObservationHours = 420 });
        Assert.Equal((420.0, (LifeExclusion?)null), (stated.EntryHours, stated.Exclusion));
        Assert.Equal(LifeExclusion.NoExposure, Only(Row(100, 900, from: 50) with { AgeAtObservationHours = 900 }).Exclusion);
    }

    [Fact]
    public void Of_rows_with_one_start_the_latest_end_wins()
    {
        var history = Sheet(Row(100, 900), Row(160, 1_400), Row(130, 1_200));
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Survived(1_400), Assert.Single(derived.Lives).Outcome);
        Assert.Equal(EventStanding.Superseded, history.Status(derived, "e0").Standing);
        Assert.Equal(EventStanding.Counted, history.Status(derived, "e1").Standing);
        Assert.Equal(EventStanding.Superseded, history.Status(derived, "e2").Standing);
    }

    [Fact]
    public void At_one_end_a_failure_wins_over_a_survival()
    {
        var failed = Row(100, 900, ReportedOutcome.Failed);

        Assert.True(Only(failed, Row(100, 900)).EndedInFailure);
        Assert.True(Only(Row(100, 900), failed).EndedInFailure);
    }

    [Fact]
    public void A_falling_age_is_flagged()
    {
        var history = Sheet(Row(100, 900), Row(160, 800));
        var derived = history.Derive();

        Assert.Equal([RecordOddity.FallingAge], history.Status(derived, "e1").Flags);
        Assert.Equal([LifeAmbiguity.ConflictingReports], Assert.Single(derived.Lives).Ambiguities);
    }

    [Fact]
    public void A_life_whose_outcome_rests_on_contradicting_rows_is_left_out_unless_asked_for()
    {
        Life[] contradicted =
        [
            Only(Row(100, 900), Row(160, 800)),
            Only(Row(100, 900), Row(100, 90)),
            Only(Row(100, 900, ReportedOutcome.Failed), Row(160, 1_000)),
        ];

        Assert.Equal(
            [[RecordOddity.FallingAge], [RecordOddity.ConflictingReport], [RecordOddity.ConflictingReport]],
            contradicted.Select(life => life.Flags));
        Assert.All(contradicted, life => Assert.True(!life.Counts(includeFlagged: false) && life.Counts(includeFlagged: true)));
    }

    [Fact]
    public void A_contradiction_between_rows_that_a_later_one_overrules_does_not_flag_the_life()
    {
        var life = Only(Row(100, 900), Row(130, 800), Row(160, 1_400));

        Assert.Equal(LifeOutcome.Survived(1_400), life.Outcome);
        Assert.Empty(life.Flags);
        Assert.Equal([LifeAmbiguity.ConflictingReports], life.Ambiguities);
    }

    [Fact]
    public void Two_ages_at_one_end_contradict_each_other()
    {
        var history = Sheet(Row(100, 900), Row(100, 90));
        var derived = history.Derive();

        Assert.Equal([RecordOddity.ConflictingReport], derived.Events.SelectMany(e => e.Flags));
        Assert.Equal([LifeAmbiguity.ConflictingReports], Assert.Single(derived.Lives).Ambiguities);
    }

    [Fact]
    public void Other_starts_are_other_lives()
    {
        var lives = Sheet(Row(100, 900, ReportedOutcome.Failed), Row(300, 500, start: 120)).Derive().Lives;

        Assert.Equal([1, 2], lives.Select(life => life.Number));
        Assert.Equal([true, false], lives.Select(life => life.EndedInFailure));
    }

    [Fact]
    public void Events_of_that_time_win_over_a_row()
    {
        var history = Sheet(Row(100, 900, ReportedOutcome.Failed), Row(8, 70, start: 1))
            .Registered(10).OnHost(10, 0).Read(100, 880);
        var derived = history.Derive();

        Assert.Equal([LifeOutcome.Survived(70), LifeOutcome.Survived(880)], derived.Lives.Select(life => life.Outcome));
        Assert.Equal(EventStanding.Superseded, history.Status(derived, "e0").Standing);
    }

    [Fact]
    public void Events_that_tell_of_no_spell_leave_the_row_its_life()
    {
        // Readings whose install has not arrived tell of no life; the row does.
        var life = Assert.Single(Sheet(Row(100, 900)).Registered(10).Read(50, 5_000).Derive().Lives);

        Assert.Equal((LifeOutcome.Survived(900), LifeOrigin.Report), (life.Outcome!.Value, life.Origin));
    }

    [Fact]
    public void The_policy_decides_on_reasons_of_rows_too()
    {
        var low = Row(100, 900) with { Reason = RemovalReason.LowOutput, AgeLastWorkingHours = 800 };
        var failed = new DerivationOptions
        {
            OutcomePolicy = OutcomePolicy.Default with { UnmeasuredLowOutput = OutcomeVerdict.Failed },
        };

        Assert.Equal([LifeAmbiguity.UnmeasuredLowOutput], Only(low).Ambiguities);
        var life = Assert.Single(Sheet(low).Derive(failed).Lives);
        Assert.Equal((LifeOutcome.Between(800, 900), FailureModes.Output), (life.Outcome!.Value, life.FailureMode));
    }

    [Fact]
    public void A_row_that_ends_after_the_cutoff_is_counted_as_missing()
    {
        var cutoff = new DerivationOptions { DataCutoffTime = Scenario.History.Day(120) };

        Assert.Equal(LifeExclusion.ReportedBeyondCutoff, Assert.Single(Sheet(Row(160, 1_400)).Derive(cutoff).Lives).Exclusion);
        Assert.Equal(
            LifeOutcome.Survived(900), Assert.Single(Sheet(Row(160, 1_400), Row(100, 900)).Derive(cutoff).Lives).Outcome);
    }
}
