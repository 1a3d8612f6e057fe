using CsCheck;
using Reliability.History.Events;

namespace Reliability.History.Tests.Properties;

/// <summary>Random records of one module: hostile ones, where anything may follow anything, and plausible ones.</summary>
internal static class RandomRecords
{
    private static readonly string?[] Modes = ["no flow", "noise", null];
    private static readonly string[] Hosts = ["vent-1", "vent-2"];
    private static readonly string[] Models = [Scenario.History.Model, Scenario.History.Model, "unknown-model"];

    private static readonly Gen<double> Hours = Gen.Frequency(
        (4, Gen.Int[0, 2_000].Select(h => (double)h)), (1, Gen.Double[0, 20_000]), (1, Gen.Const(0.0)));

    private static readonly Gen<double?> MaybeHours =
        Gen.Frequency((3, Hours.Select(h => (double?)h)), (1, Gen.Const((double?)null)));

    // Whole hours, so that times can be stretched without rounding.
    private static readonly Gen<DateTimeOffset> Instant = Gen.Int[0, 24 * 120].Select(h => Scenario.History.Origin.AddHours(h));

    private static readonly Gen<Occurrence> When = Gen.Frequency(
        (2, Instant.Select(Occurrence.AtInstant)),
        (1, Gen.Int[0, 120].Select(d => Occurrence.OnDay(Scenario.History.Day(d), Scenario.History.Day(d + 1), "UTC"))));

    private static readonly Gen<Condition> Conditions =
        Gen.Int[0, 2].Select(n => new Condition { RefurbishmentCount = n, Refurbisher = n > 0 ? "Vennick Works" : null });

    private static readonly Gen<RenewalStatement> Renewals = Gen.Enum<RenewalStatement>();

    private static readonly Gen<DateTimeOffset?> CompleteFrom =
        Gen.Frequency((1, Gen.Const((DateTimeOffset?)null)), (1, Instant.Select(t => (DateTimeOffset?)t)));

    private static readonly Gen<EventBody> Fact = Gen.Frequency<EventBody>(
        (2, Gen.Select(Gen.Int[0, Models.Length - 1].Select(i => Models[i]), Conditions, MaybeHours, MaybeHours, CompleteFrom)
            .Select((model, condition, age, reading, from) => (EventBody)new RegisteredV1
            {
                Model = model,
                Condition = condition,
                AgeHours = age,
                ReadingHours = reading,
                CompleteFrom = from,
            })),
        (5, Gen.Select(Gen.Int[0, Hosts.Length - 1].Select(i => Hosts[i]), MaybeHours, Gen.Enum<MeterOwner>(), Gen.Int[0, 2])
            .Select((host, reading, meter, stops) => (EventBody)new InstalledV1
            {
                HostDevice = host,
                ReadingHours = reading,
                Meter = meter,
                MeterStopsAtFailure = stops == 2 ? null : stops == 1,
            })),
        (8, Gen.Select(When, Hours).List[1, 4].Select(Gen.Int[0, 2]).Select((readings, meter) => (EventBody)new RunHoursReadV1
        {
            Meter = meter switch { 0 => MeterOwner.Module, 1 => MeterOwner.Host, _ => null },
            Readings = [.. readings.Select(r => new MeterReading { Earliest = r.Item1.Earliest, Latest = r.Item1.Latest, Hours = r.Item2 })],
        })),
        (2, Gen.Select(MaybeHours, MaybeHours, Gen.Int[0, 2]).Select((final, first, meter) => (EventBody)new MeterChangedV1
        {
            Meter = meter switch { 0 => MeterOwner.Module, 1 => MeterOwner.Host, _ => null },
            FinalHours = final,
            FirstHours = first,
        })),
        (3, Gen.Select(Gen.Double[0.2, 1.1], MaybeHours).Select((fraction, reading) =>
            (EventBody)new OutputMeasuredV1 { Fraction = fraction, ReadingHours = reading })),
        (3, Gen.Select(Gen.Int[0, Modes.Length - 1].Select(i => Modes[i]), MaybeHours, Gen.Enum<FailureReading>()).Select((mode, reading, which) =>
            (EventBody)new FailedV1 { Mode = mode, ReadingHours = reading, ReadingIs = which })),
        (5, Gen.Select(Gen.Enum<RemovalReason>(), MaybeHours).Select((reason, reading) =>
            (EventBody)new RemovedV1 { Reason = reason, ReadingHours = reading })),
        (1, Gen.Select(Renewals, MaybeHours, MaybeHours).Select((renews, before, after) => (EventBody)new RepairedV1
        {
            RenewsWearingPart = renews,
            ReadingBeforeHours = before,
            ReadingAfterHours = after,
        })),
        (3, Gen.Select(Renewals, MaybeHours, MaybeHours).Select((renews, before, after) => (EventBody)new RefurbishedV1
        {
            By = "Second Turn Bench",
            RenewsWearingPart = renews,
            ReadingBeforeHours = before,
            ReadingAfterHours = after,
        })),
        (1, Gen.Bool.Select(failed => failed ? "failed" : "obsolete").Select(reason => (EventBody)new RetiredV1 { Reason = reason })),
        (2, Gen.Select(Gen.Int[0, 3], When, Hours, MaybeHours, MaybeHours, Gen.Enum<ReportedOutcome>(), CompleteFrom).Select(
            (start, end, age, entry, working, outcome, from) => (EventBody)new LifeReportedV1
            {
                Model = Scenario.History.Model,
                Start = Occurrence.AtInstant(Scenario.History.Day(start * 20)),
                End = end,
                AgeAtEndHours = age,
                AgeAtObservationHours = entry,
                AgeLastWorkingHours = working,
                Outcome = outcome,
                CompleteFrom = from,
            })));

    private static readonly Gen<EventBody> Body = Gen.Frequency<EventBody>(
        (34, Fact),
        (2, Gen.Int[0, 40].Select(n => (EventBody)new RetractedV1 { TargetSource = Scenario.History.Source, TargetEventId = $"e{n}" })),
        (2, Gen.Select(Gen.Int[0, 40], When, Fact).Select((n, when, right) => (EventBody)new ReplacedV1
        {
            TargetSource = Scenario.History.Source,
            TargetEventId = $"e{n}",
            Occurrence = when,
            Body = right,
        })));

    /// <summary>Any valid events in any order, up to forty of them.</summary>
    public static Gen<IReadOnlyList<RecordedEvent>> Hostile { get; } =
        Gen.Select(When, Body).List[0, 40].Select(list => Record(list.Select(e => (e.Item1, e.Item2))));

    /// <summary>Installs, readings, failures, removals and refurbishments that follow each other, with slips.</summary>
    public static Gen<IReadOnlyList<RecordedEvent>> Plausible { get; } =
        Gen.Select(Gen.Int[0, int.MaxValue - 1], Gen.Int[1, 3], Gen.Double[0, 0.2]).Select(PlausibleRecord.Of);

    /// <summary>The same records for the same numbers on every machine.</summary>
    public static IEnumerable<(uint Number, IReadOnlyList<RecordedEvent> Events)> Take(
        this Gen<IReadOnlyList<RecordedEvent>> records, uint count)
    {
        for (var number = 1u; number <= count; number++)
            yield return (number, records.Generate(new PCG(number, 20_240_101), null, out _));
    }

    internal static IReadOnlyList<RecordedEvent> Record(IEnumerable<(Occurrence When, EventBody Body)> events) =>
    [
        .. events.Select((e, index) => new RecordedEvent
        {
            EventId = EventIdentity.EventId("brindlemoor", Scenario.History.Source, $"e{index}"),
            OriginalId = $"e{index}",
            Source = Scenario.History.Source,
            ModuleId = Scenario.History.Module,
            Occurrence = e.When,
            Body = e.Body,
        }),
    ];
}
