using Reliability.History.Catalogue;
using Reliability.History.Events;

namespace Reliability.Store.Tests;

/// <summary>Events of an invented hospital network, for tests.</summary>
internal static class Scenario
{
    public const string Model = "blower-20";
    public const string Source = "quennick-general";

    public static readonly DateTimeOffset Start = new(2024, 1, 1, 8, 0, 0, TimeSpan.Zero);

    public static ModuleModelVersion Blower { get; } = new()
    {
        DisplayName = "Ventilator blower module",
        RatedLives = [new RatedLife { RatedHours = 20_000 }],
    };

    public static RecordedEvent Event(
        string module, string id, double day, EventBody body, string source = Source,
        string organisation = ReliabilityStore.DefaultOrganisation) => new()
        {
            EventId = EventIdentity.EventId(organisation, source, id),
            OriginalId = id,
            Source = source,
            ModuleId = module,
            Occurrence = Occurrence.AtInstant(Start.AddDays(day)),
            Body = body,
        };

    public static RecordedEvent Registered(string module, string model = Model) => Event(
        module, $"{module}-registered", 0,
        new RegisteredV1
        {
            Model = model,
            AgeHours = 0,
            TotalHours = 0,
            ReadingHours = 0,
            Identifiers = [new ModuleIdentifier { Kind = IdentifierKind.Serial, Value = $"SN-{module}" }],
            Lot = "lot-7",
        });

    public static RecordedEvent Installed(string module, double day = 1) => Event(
        module, $"{module}-installed-{day}", day,
        new InstalledV1
        {
            HostDevice = $"host-{module}",
            Position = "1",
            Site = "Quennick General",
            HostModel = "ventilator-3",
            ReadingHours = 0,
        });

    public static RecordedEvent Read(string module, double day, double hours) => Event(
        module, $"{module}-read-{day}", day,
        new RunHoursReadV1 { Readings = [MeterReading.AtInstant(Start.AddDays(day), hours)] });

    public static RecordedEvent Failed(string module, double day, double hours) => Event(
        module, $"{module}-failed-{day}", day,
        new FailedV1 { Mode = "bearing", ReadingHours = hours, ReadingIs = FailureReading.Moment });

    public static RecordedEvent Removed(string module, double day, double hours) => Event(
        module, $"{module}-removed-{day}", day,
        new RemovedV1 { Reason = RemovalReason.Failed, ReadingHours = hours });

    public static RecordedEvent Refurbished(string module, double day) => Event(
        module, $"{module}-refurbished-{day}", day,
        new RefurbishedV1 { By = "Second Turn Bench", RenewsWearingPart = RenewalStatement.Yes, ReadingAfterHours = 0 });

    public static RecordedEvent Retracted(string module, RecordedEvent target, double day) => Event(
        module, $"{module}-retracts-{target.OriginalId}", day,
        new RetractedV1 { TargetSource = target.Source, TargetEventId = target.OriginalId });

    /// <summary>Two lives: one failed at 900 h, one refurbished that goes on.</summary>
    public static IReadOnlyList<RecordedEvent> WholeHistory(string module) =>
    [
        Registered(module),
        Installed(module),
        Read(module, 20, 400),
        Read(module, 40, 800),
        Failed(module, 45, 900),
        Removed(module, 46, 900),
        Refurbished(module, 60),
        Installed(module, 70),
        Read(module, 90, 350),
    ];
}
