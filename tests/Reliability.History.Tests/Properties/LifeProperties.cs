using System.Text.Json;
using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Properties;

/// <summary>What holds for every record. Each failure names the number of the record, which gives it again.</summary>
public sealed class LifeProperties
{
    private static readonly DerivationOptions[] Views =
    [
        DerivationOptions.Default,
        new() { UnknownRenewalRenews = true, FailureMode = "no flow" },
        new()
        {
            UnknownRenewalRenews = false,
            DataCutoffTime = Scenario.History.Day(60),
            OutcomePolicy = OutcomePolicy.Default with { UnmeasuredLowOutput = OutcomeVerdict.Failed },
        },
        new() { OutcomePolicy = OutcomePolicy.Default.With([new(RemovalReason.Planned, OutcomeVerdict.Excluded)]) },
    ];

    [Fact]
    public void Any_order_and_repetition_of_the_same_events_gives_the_same_lives()
    {
        foreach (var (number, events) in RandomRecords.Hostile.Take(400).Concat(RandomRecords.Plausible.Take(200)))
        {
            var random = new Random((int)number);
            var shuffled = events.Concat(events.Where(_ => random.Next(3) == 0)).OrderBy(_ => random.Next()).ToList();
            var relabelled = shuffled.Select(e => e with { RecordTime = Scenario.History.Day(random.Next(9_999)), Note = "again" });
            foreach (var view in Views)
                Assert.True(Said(events, view) == Said([.. relabelled], view), $"record {number}");
        }
    }

    [Theory]
    [InlineData(2)]
    [InlineData(0.5)]
    [InlineData(3)]
    public void All_hours_and_all_times_stretched_by_a_factor_stretch_all_lives_by_it(double factor)
    {
        foreach (var (number, events) in RandomRecords.Hostile.Take(400).Concat(RandomRecords.Plausible.Take(200)))
        {
            var lives = Derive(events, DerivationOptions.Default).Lives;
            var stretched = Derive([.. events.Select(e => Stretch.By(factor, e))], DerivationOptions.Default).Lives;
            Assert.True(lives.Count == stretched.Count, $"record {number}");
            foreach (var (life, longer) in lives.Zip(stretched))
            {
                Assert.True(
                    life.Exclusion == longer.Exclusion && life.Outcome?.Kind == longer.Outcome?.Kind
                    && life.IsFlagged == longer.IsFlagged && life.FailureMode == longer.FailureMode,
                    $"record {number}: {life} against {longer}");
                AssertNear(factor * life.EntryHours, longer.EntryHours, number);
                AssertNear(factor * life.Outcome?.LowerHours, longer.Outcome?.LowerHours, number);
                AssertNear(factor * life.Outcome?.UpperHours, longer.Outcome?.UpperHours, number);
            }
        }
    }

    [Fact]
    public void Every_record_derives_and_every_life_that_counts_is_well_formed()
    {
        var kinds = new Dictionary<string, int>();
        foreach (var (number, events) in RandomRecords.Hostile.Take(2_000).Concat(RandomRecords.Plausible.Take(500)))
        {
            foreach (var view in Views)
            {
                var derived = Derive(events, view);
                Assert.Equal(events.Select(e => e.EventId).Distinct().Order(), derived.Events.Select(s => s.EventId).Order());
                Assert.Equal(Enumerable.Range(1, derived.Lives.Count), derived.Lives.Select(life => life.Number));
                foreach (var life in derived.Lives.Where(life => life.Counts(includeFlagged: true)))
                    Assert.True(IsWellFormed(life), $"record {number}: {life}");
                foreach (var life in derived.Lives)
                    Count(kinds, life.Counts(false) ? $"{life.Origin} {life.Outcome?.Kind}" : life.Exclusion?.ToString() ?? "flagged");
            }
        }

        // The records are worth the name only if they bring about every outcome and every exclusion.
        foreach (var kind in Enum.GetNames<LifeExclusion>().Except([nameof(LifeExclusion.AgeUnknown)])
            .Concat(["Events Survived", "Events Failed", "Events Between", "Report Survived", "Report Between", "flagged"]))
            Assert.True(kinds.GetValueOrDefault(kind) >= 10, $"{kind}: {string.Join(", ", kinds)}");
    }

    [Fact]
    public void Nothing_after_the_cutoff_changes_a_life()
    {
        var cutoff = Scenario.History.Day(60);
        var view = new DerivationOptions { DataCutoffTime = cutoff };
        foreach (var (number, events) in RandomRecords.Plausible.Take(200))
        {
            var before = events.Where(e => e.Occurrence.Latest <= cutoff).ToList();
            Assert.True(
                Lives(Derive(events, view)) == Lives(Derive(before, DerivationOptions.Default)), $"record {number}");
        }
    }

    [Fact]
    public void Retracting_an_event_is_as_if_it_had_never_been_posted()
    {
        foreach (var (number, events) in RandomRecords.Plausible.Take(200))
        {
            var wrong = events[(int)(number % (uint)events.Count)];
            var retraction = wrong with
            {
                EventId = Guid.CreateVersion7(Scenario.History.Origin),
                OriginalId = "retraction",
                Body = new RetractedV1 { TargetSource = wrong.Source, TargetEventId = wrong.OriginalId },
            };
            var without = events.Where(e => e != wrong).ToList();
            Assert.True(
                Lives(Derive([.. events, retraction], DerivationOptions.Default))
                == Lives(Derive(without, DerivationOptions.Default)),
                $"record {number}");
        }
    }

    [Fact]
    public void Replacing_an_event_is_as_if_the_right_one_had_been_posted_instead()
    {
        var records = RandomRecords.Plausible.Take(201).ToList();
        foreach (var ((number, events), (_, others)) in records.Zip(records.Skip(1)))
        {
            var wrong = events[(int)(number % (uint)events.Count)];
            var right = others[(int)(number % (uint)others.Count)] with
            {
                EventId = Guid.CreateVersion7(Scenario.History.Origin),
                OriginalId = "replacement",
            };
            var replacement = right with
            {
                Occurrence = Occurrence.AtInstant(Scenario.History.Day(number)),
                Body = new ReplacedV1
                {
                    TargetSource = wrong.Source,
                    TargetEventId = wrong.OriginalId,
                    Occurrence = right.Occurrence,
                    Body = right.Body,
                },
            };
            foreach (var view in Views)
            {
                Assert.True(
                    Lives(Derive([replacement, .. events], view))
                    == Lives(Derive([.. events.Where(e => e != wrong), right], view)),
                    $"record {number}");
            }
        }
    }

    private static void Count(Dictionary<string, int> kinds, string kind) =>
        kinds[kind] = kinds.GetValueOrDefault(kind) + 1;

    private static bool IsWellFormed(Life life)
    {
        var outcome = life.Outcome!.Value;
        var bounded = double.IsFinite(outcome.LowerHours) && life.EntryHours >= 0 && double.IsFinite(life.EntryHours)
            && life.EndTime >= life.StartTime;
        return bounded && outcome.Kind switch
        {
            OutcomeKind.Survived => outcome.UpperHours is null && outcome.LowerHours > life.EntryHours,
            OutcomeKind.Failed => outcome.UpperHours == outcome.LowerHours && outcome.LowerHours > life.EntryHours,
            _ => outcome.LowerHours >= life.EntryHours && outcome.UpperHours > outcome.LowerHours,
        };
    }

    private static void AssertNear(double? expected, double? actual, uint number) =>
        Assert.True(
            expected is null == actual is null && Math.Abs((expected ?? 0) - (actual ?? 0)) <= 1e-9 * (1 + Math.Abs(expected ?? 0)),
            $"record {number}: expected {expected}, was {actual}");

    private static DerivedModule Derive(IReadOnlyList<RecordedEvent> events, DerivationOptions view) =>
        LifeDerivation.Derive(new(Scenario.History.Module, events), Scenario.History.Catalogue, view);

    private static string Said(IReadOnlyList<RecordedEvent> events, DerivationOptions view) =>
        JsonSerializer.Serialize(Derive(events, view));

    private static string Lives(DerivedModule derived) => JsonSerializer.Serialize(derived.Lives);
}
