using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;
using static Reliability.Analysis.Tests.Invented;

namespace Reliability.Analysis.Tests.Samples;

public sealed class SampleLivesTests
{
    [Fact]
    public void Failure_modes_come_along_unless_one_of_them_was_selected()
    {
        Life[] lives =
        [
            Invented.Life(LifeOutcome.Failed(100)) with { FailureMode = "cathode" },
            Invented.Life(LifeOutcome.Survived(200)),
            Invented.Life(LifeOutcome.Between(100, 300)) with { FailureMode = "driver" },
            Invented.Life(LifeOutcome.Failed(400)),
        ];
        var ofOne = CohortSelection.All with { Derivation = DerivationOptions.Default with { FailureMode = "cathode" } };

        var sample = SampleLives.Build(lives, CohortSelection.All, Invented.Now).Sample;

        Assert.Equal(["cathode", "driver"], sample.FailureModeNames);
        Assert.Equal([0, -1, 1, -1], sample.FailureModes.ToArray());
        Assert.Empty(SampleLives.Build(lives, ofOne, Invented.Now).Sample.FailureModeNames);
    }

    [Theory]
    [InlineData("cathode", 1, false)]
    [InlineData("cathod", 0, true)]
    public void A_failure_mode_that_no_life_shows_is_warned_of(string mode, int failures, bool warned)
    {
        Life[] lives = [Invented.Life(LifeOutcome.Failed(100)) with { FailureMode = "cathode" }, Invented.Life(LifeOutcome.Survived(200))];
        var selection = CohortSelection.All with { Derivation = DerivationOptions.Default with { FailureMode = mode } };

        // What derivation leaves of lives that failed otherwise: survivors.
        var sample = SampleLives.Build(failures > 0 ? lives : [lives[1]], selection, Invented.Now);

        Assert.Equal(failures, sample.Sample.FailureCount);
        Assert.Equal(warned, sample.Summary.Warnings.Any(w => w.Code == RecordWarningCodes.FailureModeNotSeen));
    }

    [Fact]
    public void Why_a_cohort_has_no_lives_is_told_from_the_record()
    {
        var catalog = Reliability.Engine.BuiltInLifeModels.CreateCatalog();
        var nothing = SampleLives.Build([], CohortSelection.All, Invented.Now);
        var leftOut = SampleLives.Build(
            [
                Invented.Life(LifeOutcome.Failed(100)) with { Exclusion = LifeExclusion.OpenedAfterOutcome },
                Invented.Life(LifeOutcome.Failed(200)) with { Exclusion = LifeExclusion.OpenedAfterOutcome },
                Invented.Life(LifeOutcome.Failed(300)) with { Exclusion = LifeExclusion.NoExposure },
            ],
            CohortSelection.All, Invented.Now);

        foreach (var (sample, expected) in new[]
        {
            (nothing, "No life on record fits this cohort. Check the spelling"),
            (leftOut, "There are no lives to answer from: 3 lives fit this cohort, all left out: NO_EXPOSURE 1, OPENED_AFTER_OUTCOME 2."),
            (CohortSample.Inline(Reliability.Engine.Abstractions.LifeSample.Empty), "There are no lives."),
        })
        {
            Assert.All(
                [
                    new FitLives(catalog).Answer(sample, new(), TestContext.Current.CancellationToken).NotEstimable,
                    new EstimateSurvival(catalog).Answer(sample, new(), TestContext.Current.CancellationToken).NotEstimable,
                    new AssessLifeModels(catalog).Answer(sample, new() { LifeModels = ["weibull"] }, TestContext.Current.CancellationToken)
                        .Models[0].Fit.NotEstimable,
                    new CompareCohorts(catalog).Answer([new("a", sample), new("b", sample)], new(), TestContext.Current.CancellationToken)
                        .Cohorts[1].Fit.NotEstimable,
                ],
                reason =>
                {
                    Assert.Equal("NO_OBSERVATIONS", reason!.Reason);
                    Assert.StartsWith(expected, reason.Text, StringComparison.Ordinal);
                });
        }
    }

    [Fact]
    public void Lives_become_rows_with_their_outcome_and_entry_age()
    {
        var sample = SampleLives.Build(
            [
                Life(LifeOutcome.Failed(900)),
                Life(LifeOutcome.Survived(1200), entry: 300),
                Life(LifeOutcome.Between(750, 780), entry: 300),
            ],
            CohortSelection.All, Now);

        Assert.Equal([900.0, 1200, 750], sample.Sample.LowerHours.ToArray());
        Assert.Equal([900.0, 1200, 780], sample.Sample.UpperHours.ToArray());
        Assert.Equal([0.0, 300, 300], sample.Sample.EntryHours.ToArray());
        var summary = sample.Summary;
        Assert.Equal((1, 1, 1, 2), (summary.FailedCount, summary.SurvivedCount, summary.BetweenCount, summary.LateEntryCount));
        Assert.Equal(900 + 900 + 450, summary.TotalRunHours);
        Assert.Equal(1200, summary.OldestAgeHours);
        Assert.Equal(3, summary.ModuleCount);
    }

    [Fact]
    public void Excluded_lives_stay_out_and_are_counted_by_reason()
    {
        var lives = new[]
        {
            Life(LifeOutcome.Failed(900)),
            Life(LifeOutcome.Failed(5)) with { Exclusion = LifeExclusion.OpenedAfterOutcome },
            Life(LifeOutcome.Survived(5)) with { Exclusion = LifeExclusion.OpenedAfterOutcome },
            Life(LifeOutcome.Survived(5)) with { Exclusion = LifeExclusion.EntryAgeUnknown, Outcome = null },
        };

        var sample = SampleLives.Build(lives, CohortSelection.All, Now);

        Assert.Equal(1, sample.Sample.RowCount);
        Assert.Equal(
            [new ReasonCount("ENTRY_AGE_UNKNOWN", 1), new ReasonCount("OPENED_AFTER_OUTCOME", 2)], sample.Summary.ExcludedLives);
        Assert.Contains(sample.Summary.Warnings, w => w.Code == RecordWarningCodes.ExcludedLives && w.Text.Contains("3 lives"));
    }

    [Fact]
    public void Lives_reported_beyond_the_cutoff_are_warned_of_since_they_lasted()
    {
        var lives = new[]
        {
            Life(LifeOutcome.Failed(900)),
            Life(LifeOutcome.Survived(5)) with { Exclusion = LifeExclusion.ReportedBeyondCutoff, Outcome = null },
            Life(LifeOutcome.Survived(5)) with { Exclusion = LifeExclusion.EntryAgeUnknown, Outcome = null },
        };

        var warnings = SampleLives.Build(lives, CohortSelection.All, Now).Summary.Warnings;

        Assert.StartsWith("1 life went on at the cut-off", Assert.Single(warnings, w => w.Code == RecordWarningCodes.CutoffBeforeReports).Text);
        Assert.DoesNotContain(
            SampleLives.Build([lives[0], lives[2]], CohortSelection.All, Now).Summary.Warnings,
            w => w.Code == RecordWarningCodes.CutoffBeforeReports);
    }

    [Fact]
    public void Contradicting_rows_and_several_models_are_warned_of()
    {
        var plain = Life(LifeOutcome.Failed(900));
        var conflicting = Life(LifeOutcome.Failed(800)) with { Ambiguities = [LifeAmbiguity.ConflictingReports] };
        var other = Life(LifeOutcome.Failed(700)) with { ModelId = "another-model" };

        Assert.DoesNotContain(Codes(plain, Life(LifeOutcome.Survived(5))), Mattering);
        Assert.Equal([RecordWarningCodes.ConflictingReports], Codes(plain, conflicting).Where(Mattering));
        Assert.Equal(
            [RecordWarningCodes.ConflictingReports],
            Codes(plain, conflicting with { Flags = [RecordOddity.FallingAge] }).Where(Mattering));
        Assert.Equal([RecordWarningCodes.SeveralModuleModels], Codes(plain, other).Where(Mattering));

        static bool Mattering(string code) => code is RecordWarningCodes.ConflictingReports or RecordWarningCodes.SeveralModuleModels;

        static IEnumerable<string> Codes(params Life[] lives) =>
            SampleLives.Build(lives, CohortSelection.All, Now).Summary.Warnings.Select(warning => warning.Code);
    }

    [Fact]
    public void A_life_without_exposure_is_counted_and_never_reaches_the_engine()
    {
        var sample = SampleLives.Build(
            [Life(LifeOutcome.Survived(300), entry: 300), Life(LifeOutcome.Failed(0))], CohortSelection.All, Now);

        Assert.Equal(0, sample.Sample.RowCount);
        Assert.Equal([new ReasonCount("NO_EXPOSURE", 2)], sample.Summary.ExcludedLives);
    }

    [Fact]
    public void Flagged_lives_stay_out_unless_asked_for_and_are_counted_either_way()
    {
        var lives = new[]
        {
            Life(LifeOutcome.Failed(900)),
            Life(LifeOutcome.Failed(700)) with { Flags = [RecordOddity.ReadingLeftOut, RecordOddity.ReadingLeftOut] },
        };

        var without = SampleLives.Build(lives, CohortSelection.All, Now);
        var with = SampleLives.Build(lives, CohortSelection.All with { IncludeFlagged = true }, Now);

        Assert.Equal((1, 2), (without.Sample.RowCount, with.Sample.RowCount));
        Assert.Equal([new ReasonCount("FLAGGED", 1)], without.Summary.ExcludedLives);
        Assert.Empty(with.Summary.ExcludedLives);
        Assert.Equal([new ReasonCount("READING_LEFT_OUT", 1)], without.Summary.FlaggedLives);
        Assert.Equal(without.Summary.FlaggedLives, with.Summary.FlaggedLives);
        Assert.Contains(without.Summary.Warnings, w => w.Code == RecordWarningCodes.FlaggedShare);
    }

    [Theory]
    [InlineData(20, false)]
    [InlineData(19, true)]
    public void A_flagged_share_of_5_percent_is_not_yet_warned_of(int lives, bool warned)
    {
        List<Life> cohort = [.. Enumerable.Range(0, lives).Select(_ => Life(LifeOutcome.Failed(900)))];
        cohort[0] = cohort[0] with { Flags = [RecordOddity.SuspectedReset] };

        var summary = SampleLives.Build(cohort, CohortSelection.All, Now).Summary;

        Assert.Equal(warned, summary.Warnings.Any(w => w.Code == RecordWarningCodes.FlaggedShare));
    }

    [Fact]
    public void Days_since_the_last_reading_count_to_the_cutoff_when_that_is_earlier()
    {
        var lives = new[]
        {
            Life(LifeOutcome.Survived(500)) with { EndTime = Now.AddDays(-100) },
            Life(LifeOutcome.Survived(500)) with { EndTime = Now.AddDays(-80) },
            Life(LifeOutcome.Survived(500)) with { EndTime = Now.AddDays(-400), InService = false },
            Life(LifeOutcome.Failed(500)) with { EndTime = Now.AddDays(-400) },
        };
        var cutoff = CohortSelection.All with { Derivation = DerivationOptions.Default with { DataCutoffTime = Now.AddDays(-60) } };

        var now = SampleLives.Build(lives, CohortSelection.All, Now).Summary;
        var then = SampleLives.Build(lives, cutoff, Now).Summary;

        Assert.Equal((90, 100), (now.MedianDaysSinceLastReading, now.GreatestDaysSinceLastReading));
        Assert.Equal((30, 40), (then.MedianDaysSinceLastReading, then.GreatestDaysSinceLastReading));
        Assert.Contains(now.Warnings, w => w.Code == RecordWarningCodes.StaleReadings);
        Assert.DoesNotContain(then.Warnings, w => w.Code == RecordWarningCodes.StaleReadings);
        Assert.Equal(Now.AddDays(-60), then.DataCutoffTime);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(4)]
    [InlineData(5)]
    public void A_sample_read_once_has_at_any_instant_the_summary_that_it_would_have_if_it_were_read_then(int lives)
    {
        Life[] cohort =
        [
            .. Enumerable.Range(1, lives).Select(n => Life(LifeOutcome.Survived(500)) with { EndTime = Now.AddDays(-13 * n) }),
            Life(LifeOutcome.Failed(900)), Life(LifeOutcome.Survived(0)),
        ];
        var once = SampleLives.Build(cohort, CohortSelection.All, Now);

        foreach (var days in (double[])[-40, 0, 0.25, 30, 60, 400])
        {
            var expected = SampleLives.Build(cohort, CohortSelection.All, Now.AddDays(days)).Summary;
            var summary = once.At(Now.AddDays(days)).Summary;
            Assert.Equal(expected.MedianDaysSinceLastReading, summary.MedianDaysSinceLastReading);
            Assert.Equal(expected.GreatestDaysSinceLastReading, summary.GreatestDaysSinceLastReading);
            Assert.Equal(expected.Warnings, summary.Warnings);
        }

        var cutoff = CohortSelection.All with { Derivation = DerivationOptions.Default with { DataCutoffTime = Now } };
        Assert.Equal(
            SampleLives.Build(cohort, cutoff, Now).Summary.MedianDaysSinceLastReading,
            SampleLives.Build(cohort, cutoff, Now).At(Now.AddDays(50)).Summary.MedianDaysSinceLastReading);
    }

    [Fact]
    public void An_ambiguous_removal_is_warned_of_and_its_other_reading_is_kept()
    {
        var lives = new[]
        {
            Life(LifeOutcome.Failed(900)),
            Life(LifeOutcome.Survived(800)) with { Ambiguities = [LifeAmbiguity.OtherReason], InService = false },
        };

        var sample = SampleLives.Build(lives, CohortSelection.All, Now);

        Assert.Equal(1, sample.Sample.FailureCount);
        Assert.Equal(2, sample.IfAmbiguousFailed!.FailureCount);
        Assert.Contains(sample.Summary.Warnings, w => w.Code == RecordWarningCodes.AmbiguousReasons);
        Assert.Null(SampleLives.Build(lives[..1], CohortSelection.All, Now).IfAmbiguousFailed);
    }

    [Fact]
    public void Several_lives_of_few_modules_are_warned_of()
    {
        List<Life> lives = [.. Enumerable.Range(0, 10).Select(i => Life(LifeOutcome.Failed(900 + i), module: $"lamp-{i % 4}"))];

        var summary = SampleLives.Build(lives, CohortSelection.All, Now).Summary;

        Assert.Equal(4, summary.ModuleCount);
        Assert.Contains(summary.Warnings, w => w.Code == RecordWarningCodes.FewModules);
    }

    [Fact]
    public void Filters_are_joined_by_and_and_their_values_by_or()
    {
        var life = Life(LifeOutcome.Failed(900), Refurbished(Works));

        Assert.True(new CohortSelection { Refurbishers = [Bench, Works], Sites = ["Quennick General"] }.Matches(life));
        Assert.False(new CohortSelection { Refurbishers = [Bench, Works], Sites = ["Orrowby Infirmary"] }.Matches(life));
        Assert.False(new CohortSelection { Refurbishers = [Bench] }.Matches(life with { Condition = Condition.New }));
        Assert.False(new CohortSelection { ConditionClass = ConditionClass.New }.Matches(life));
        Assert.True(new CohortSelection { RefurbishmentCounts = [1, 2] }.Matches(life));
        Assert.False(new CohortSelection { Lots = ["L8"] }.Matches(life));
        Assert.False(new CohortSelection { HostModels = ["canopy-2"] }.Matches(life with { HostModel = null }));
        Assert.True(new CohortSelection { EarliestStartTime = Start }.Matches(life));
        Assert.False(new CohortSelection { LatestStartTime = Start }.Matches(life));
    }
}
