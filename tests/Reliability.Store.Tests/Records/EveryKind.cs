using Reliability.History.Events;

namespace Reliability.Store.Tests.Records;

/// <summary>One event of every kind with every field given: first those that version 1 stored, then the later ones.</summary>
internal static class EveryKind
{
    private static readonly DateTimeOffset Time = new(2024, 3, 9, 7, 30, 15, 250, TimeSpan.Zero);

    private static readonly IReadOnlyList<ModuleIdentifier> Identifiers =
    [
        new() { Kind = IdentifierKind.Serial, Value = "SN-42" },
        new() { Kind = IdentifierKind.Udi, Value = "(01)00000000000000(21)42" },
        new() { Kind = IdentifierKind.Asset, Value = "A-42" },
    ];

    private static readonly Condition Refurbished = new() { RefurbishmentCount = 2, Refurbisher = "Vennick Works" };

    private static readonly Occurrence Day = Occurrence.OnDay(
        new DateTimeOffset(2024, 3, 8, 23, 0, 0, TimeSpan.Zero), new DateTimeOffset(2024, 3, 9, 23, 0, 0, TimeSpan.Zero),
        "Europe/Berlin");

    public static IReadOnlyList<RecordedEvent> Events { get; } =
    [
        .. new EventBody[]
        {
            new RegisteredV1
            {
                Model = "lamp-2", Identifiers = Identifiers, Lot = "lot-7", Condition = Refurbished, AgeHours = 300.25,
                TotalHours = 5300.25, ReadingHours = 5300.25, CompleteFrom = Time.AddYears(-1),
            },
            new InstalledV1
            {
                HostDevice = "h-1", Position = "left", Site = "Orrowby Infirmary", HostModel = "phototherapy-4",
                ReadingHours = 0.1, Meter = MeterOwner.Host, MeterStopsAtFailure = false, ExpectedHoursPerDay = 7.5,
            },
            new RunHoursReadV1
            {
                Meter = MeterOwner.Module,
                Readings = [MeterReading.AtInstant(Time, 1234.5), MeterReading.AtInstant(Time.AddDays(1), 1240)],
            },
            new MeterChangedV1 { Meter = MeterOwner.Host, FinalHours = 1500, FirstHours = 0 },
            new OutputMeasuredV1 { Fraction = 0.8125, Value = 31.5, ReadingHours = 1300 },
            new FailedV1 { Mode = "no-light", ReadingHours = 1400, ReadingIs = FailureReading.Moment },
            new RemovedV1 { Reason = RemovalReason.RecallOrSafetyNotice, ReadingHours = 1401, ConfirmedCautions = ["isolate", "cool-down"] },
            new RepairedV1
            {
                By = "Second Turn Bench", RenewsWearingPart = RenewalStatement.No, ReadingBeforeHours = 1401,
                ReadingAfterHours = 1401.5, AcceptanceOutputFraction = 0.97, AcceptanceOutputValue = 38,
            },
            new RefurbishedV1
            {
                By = "Vennick Works", RenewsWearingPart = RenewalStatement.Yes, ReadingBeforeHours = 1401,
                ReadingAfterHours = 0, AcceptanceOutputFraction = 1, AcceptanceOutputValue = 39,
            },
            new RetiredV1 { Reason = "obsolete", DisposalRoute = "maker-return" },
            new RetractedV1 { TargetSource = "cmms", TargetEventId = "e-1" },
            new LifeReportedV1
            {
                Model = "lamp-2", Identifiers = Identifiers, Condition = Refurbished, Site = "Pellowick Day Surgery",
                HostModel = "phototherapy-4", Lot = "lot-7", Start = Day, End = Occurrence.AtInstant(Time.AddYears(1)),
                AgeAtObservationHours = 10, AgeAtEndHours = 1800, AgeLastWorkingHours = 1750, FailureMoment = true,
                Outcome = ReportedOutcome.Failed, Reason = RemovalReason.LowOutput, InService = true, FailureMode = "dim",
                CompleteFrom = Time.AddYears(-2),
            },
            new ReplacedV1
            {
                TargetSource = "cmms", TargetEventId = "e-2", Occurrence = Day,
                Body = new RunHoursReadV1 { Meter = MeterOwner.Module, Readings = [MeterReading.AtInstant(Time, 1234.5)] },
            },
        }.Select((body, n) => new RecordedEvent
        {
            EventId = EventIdentity.EventId(ReliabilityStore.DefaultOrganisation, "cmms", $"every-{n}"),
            OriginalId = $"every-{n}",
            Source = "cmms",
            ModuleId = "m-every",
            Occurrence = n % 2 == 0 ? Day : Occurrence.AtInstant(Time.AddDays(n)),
            Note = "a note",
            ActorId = "actor-3",
            Body = body,
        }),
    ];
}
