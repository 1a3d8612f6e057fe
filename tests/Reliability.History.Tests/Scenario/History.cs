using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Tests.Scenario;

/// <summary>Writes a module's record in days and hours, and derives it.</summary>
internal sealed class History
{
    public const string Module = "blower-17";
    public const string Model = "ventilator-blower";
    public const string Source = "quennick-maintenance";

    public static readonly DateTimeOffset Origin = new(2024, 1, 1, 0, 0, 0, TimeSpan.Zero);

    public static readonly ModuleCatalogue Catalogue = new(
    [
        new ModuleModel
        {
            Id = Model,
            Versions =
            [
                new()
                {
                    OutputThreshold = new() { Fraction = 0.7 },
                    RatedLives = [new() { RatedHours = 20_000 }],
                },
            ],
        },
    ]);

    private readonly List<RecordedEvent> _events = [];

    public IReadOnlyList<RecordedEvent> Events => _events;

    /// <summary>An instant on a day of the history.</summary>
    public static DateTimeOffset Day(double day) => Origin.AddDays(day);

    /// <summary>Adds an event at an instant.</summary>
    public History At(double day, EventBody body, string? id = null) => Add(Occurrence.AtInstant(Day(day)), body, id);

    /// <summary>Adds an event known to the day only.</summary>
    public History OnDay(int day, EventBody body, string? id = null) =>
        Add(Occurrence.OnDay(Day(day), Day(day + 1), "UTC"), body, id);

    public History Registered(double day = 0, double? age = 0, double? reading = null, DateTimeOffset? completeFrom = null) =>
        At(day, new RegisteredV1 { Model = Model, AgeHours = age, ReadingHours = reading, CompleteFrom = completeFrom });

    public History Read(double day, double hours, string? id = null) =>
        At(day, new RunHoursReadV1 { Readings = [MeterReading.AtInstant(Day(day), hours)] }, id);

    public History OnHost(double day, double? reading, string host = "vent-3") =>
        At(day, new InstalledV1 { HostDevice = host, Meter = MeterOwner.Host, ReadingHours = reading, Site = "Quennick General" });

    public History OnOwnMeter(double day, double? reading, string host = "vent-3") =>
        At(day, new InstalledV1 { HostDevice = host, ReadingHours = reading, Site = "Quennick General" });

    public History Failed(double day, double? reading, string? mode = "no flow", bool moment = false) =>
        At(day, new FailedV1
        {
            Mode = mode,
            ReadingHours = reading,
            ReadingIs = moment ? FailureReading.Moment : FailureReading.Discovery,
        });

    public History Removed(double day, double? reading, RemovalReason reason = RemovalReason.Planned) =>
        At(day, new RemovedV1 { Reason = reason, ReadingHours = reading });

    public History Refurbished(double day, RenewalStatement renews = RenewalStatement.Yes, string by = "Second Turn Bench") =>
        At(day, new RefurbishedV1 { By = by, RenewsWearingPart = renews });

    public History Output(double day, double fraction, double? reading) =>
        At(day, new OutputMeasuredV1 { Fraction = fraction, ReadingHours = reading });

    public History Retract(double day, string target, string? id = null) =>
        At(day, new RetractedV1 { TargetSource = Source, TargetEventId = target }, id);

    public History Replace(double day, string target, double rightDay, EventBody right, string? id = null) =>
        At(
            day,
            new ReplacedV1
            {
                TargetSource = Source,
                TargetEventId = target,
                Occurrence = Occurrence.AtInstant(Day(rightDay)),
                Body = right,
            },
            id);

    public DerivedModule Derive(DerivationOptions? options = null, ModuleCatalogue? catalogue = null) =>
        LifeDerivation.Derive(new(Module, _events), catalogue ?? Catalogue, options);

    public EventStatus Status(DerivedModule derived, string id) =>
        derived.Events.Single(s => s.EventId == _events.First(e => e.OriginalId == id).EventId);

    private History Add(Occurrence occurrence, EventBody body, string? id)
    {
        var original = id ?? $"e{_events.Count}";
        _events.Add(new()
        {
            EventId = EventIdentity.EventId("brindlemoor", Source, original),
            OriginalId = original,
            Source = Source,
            ModuleId = Module,
            Occurrence = occurrence,
            RecordTime = Origin.AddYears(5),
            Body = body,
        });
        return this;
    }
}
