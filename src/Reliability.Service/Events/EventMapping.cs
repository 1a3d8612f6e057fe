using NodaTime;
using Reliability.History.Events;
using Reliability.History.Identifiers;
using EventCase = Reliability.V1.ModuleEvent.EventOneofCase;

namespace Reliability.Service.Events;

/// <summary>Events of the wire into events of the record. Only for events that passed <see cref="EventCheck"/>.</summary>
/// <param name="times">The service's time zone.</param>
/// <param name="organisation">The organisation the events belong to.</param>
internal sealed class EventMapping(EventTimes times, string organisation)
{
    /// <summary>The event as it is recorded.</summary>
    public RecordedEvent ToHistory(V1.ModuleEvent posted)
    {
        var dayZone = DayZone(posted);
        return new RecordedEvent
        {
            EventId = EventIdentity.EventId(organisation, posted.Source, posted.EventId),
            OriginalId = posted.EventId,
            Source = posted.Source,
            ModuleId = ModuleReference.ModuleId(posted, organisation),
            Occurrence = EventTimes.Window(posted.OccurTime, dayZone),
            Note = Known(posted.Note),
            ActorId = Known(posted.ActorId),
            Body = Body(posted, dayZone),
        };
    }

    /// <summary>An identifier as it is recorded.</summary>
    public static ModuleIdentifier ToHistory(V1.Identifier identifier) => new()
    {
        Kind = Words.IdentifierKinds.ToHistory(identifier.Kind),
        Value = identifier.Value.Trim(),
    };

    /// <summary>A condition as it is recorded; new when absent.</summary>
    public static Condition ToHistory(V1.Condition? condition) => condition is null
        ? Condition.New
        : new() { RefurbishmentCount = condition.RefurbishmentCount, Refurbisher = Known(condition.Refurbisher) };

    /// <summary>The zone when a day is meant, null when the instant is.</summary>
    private DateTimeZone? DayZone(V1.ModuleEvent posted) =>
        posted.OccurPrecision == V1.OccurPrecision.Day ? times.Zone(posted.Zone) : null;

    private EventBody Body(V1.ModuleEvent posted, DateTimeZone? dayZone) => posted.EventCase switch
    {
        EventCase.Registered => Registered(posted),
        EventCase.Installed => Installed(posted.Installed),
        EventCase.RunHoursRead => RunHoursRead(posted, dayZone),
        EventCase.MeterChanged => new MeterChangedV1
        {
            Meter = MeterRead(posted.MeterChanged.Meter, posted.Module),
            FinalHours = posted.MeterChanged.FinalHours,
            FirstHours = posted.MeterChanged.FirstHours,
        },
        EventCase.OutputMeasured => new OutputMeasuredV1
        {
            Fraction = posted.OutputMeasured.HasFraction ? posted.OutputMeasured.Fraction : null,
            Value = posted.OutputMeasured.HasMeasuredValue ? posted.OutputMeasured.MeasuredValue : null,
            ReadingHours = posted.OutputMeasured.HasReadingHours ? posted.OutputMeasured.ReadingHours : null,
        },
        EventCase.Failed => new FailedV1
        {
            Mode = Known(posted.Failed.FailureMode),
            ReadingHours = posted.Failed.HasReadingHours ? posted.Failed.ReadingHours : null,
            ReadingIs = posted.Failed.Moment == V1.FailureMoment.Failure ? FailureReading.Moment : FailureReading.Discovery,
        },
        EventCase.Removed => new RemovedV1
        {
            Reason = Words.RemovalReasons.ToHistory(posted.Removed.Reason),
            ReadingHours = posted.Removed.HasReadingHours ? posted.Removed.ReadingHours : null,
            ConfirmedCautions = [.. posted.Removed.ConfirmedCautions],
        },
        EventCase.Repaired => new RepairedV1
        {
            By = Known(posted.Repaired.Repairer),
            RenewsWearingPart = Words.Renewals.ToHistory(posted.Repaired.Renewal),
            ReadingBeforeHours = posted.Repaired.HasReadingBeforeHours ? posted.Repaired.ReadingBeforeHours : null,
            ReadingAfterHours = posted.Repaired.HasReadingAfterHours ? posted.Repaired.ReadingAfterHours : null,
            AcceptanceOutputFraction =
                posted.Repaired.HasAcceptanceOutputFraction ? posted.Repaired.AcceptanceOutputFraction : null,
        },
        EventCase.Refurbished => new RefurbishedV1
        {
            By = Known(posted.Refurbished.Refurbisher),
            RenewsWearingPart = Words.Renewals.ToHistory(posted.Refurbished.Renewal),
            ReadingBeforeHours = posted.Refurbished.HasReadingBeforeHours ? posted.Refurbished.ReadingBeforeHours : null,
            ReadingAfterHours = posted.Refurbished.HasReadingAfterHours ? posted.Refurbished.ReadingAfterHours : null,
            AcceptanceOutputFraction =
                posted.Refurbished.HasAcceptanceOutputFraction ? posted.Refurbished.AcceptanceOutputFraction : null,
        },
        EventCase.Retired => new RetiredV1
        {
            Reason = Known(posted.Retired.Reason),
            DisposalRoute = Words.DisposalRoute(posted.Retired.DisposalRoute),
        },
        EventCase.Retracted => new RetractedV1
        {
            TargetSource = posted.Retracted.TargetSource,
            TargetEventId = posted.Retracted.TargetEventId,
        },
        EventCase.Replaced => Replaced(posted),
        EventCase.LifeReported => LifeReported(posted, dayZone),
        _ => throw new ArgumentException("The event was not checked: it has no kind.", nameof(posted)),
    };

    private ReplacedV1 Replaced(V1.ModuleEvent posted)
    {
        // The right event is of the module that the replacement names, and known by the same identifier.
        var right = posted.Replaced.Event.Clone();
        right.Module = posted.Module;
        var dayZone = DayZone(right);
        return new()
        {
            TargetSource = posted.Replaced.TargetSource,
            TargetEventId = posted.Replaced.TargetEventId,
            Occurrence = EventTimes.Window(right.OccurTime, dayZone),
            Body = Body(right, dayZone),
        };
    }

    private static RegisteredV1 Registered(V1.ModuleEvent posted)
    {
        var said = posted.Registered;
        return new()
        {
            Model = ResourceNames.Id(said.ModuleModel),
            Identifiers = WithReference(said.Identifiers, posted.Module),
            Lot = Known(said.Lot),
            Condition = ToHistory(said.Condition),
            AgeHours = said.HasAgeHours ? said.AgeHours : null,
            ReadingHours = said.HasReadingHours ? said.ReadingHours : null,
            CompleteFrom = said.CompleteFrom?.ToDateTimeOffset(),
        };
    }

    private static InstalledV1 Installed(V1.Installed said) => new()
    {
        HostDevice = said.HostDevice,
        Position = Known(said.Position),
        Site = Known(said.Site),
        HostModel = Known(said.HostModel),
        ReadingHours = said.HasReadingHours ? said.ReadingHours : null,
        Meter = said.Meter == V1.Meter.Host ? MeterOwner.Host : MeterOwner.Module,
        MeterStopsAtFailure = said.HasMeterStopsAtFailure ? said.MeterStopsAtFailure : null,
        ExpectedHoursPerDay = said.HasExpectedHoursPerDay ? said.ExpectedHoursPerDay : null,
    };

    private static RunHoursReadV1 RunHoursRead(V1.ModuleEvent posted, DateTimeZone? dayZone)
    {
        var said = posted.RunHoursRead.Readings;
        var readings = new MeterReading[said.Count];
        for (var i = 0; i < readings.Length; i++)
        {
            var window = EventTimes.Window(said[i].ReadTime ?? posted.OccurTime, dayZone);
            readings[i] = new() { Earliest = window.Earliest, Latest = window.Latest, Hours = said[i].Hours };
        }

        return new() { Meter = MeterRead(posted.RunHoursRead.Meter, posted.Module), Readings = readings };
    }

    private static LifeReportedV1 LifeReported(V1.ModuleEvent posted, DateTimeZone? dayZone)
    {
        var said = posted.LifeReported;
        return new()
        {
            Model = ResourceNames.Id(said.ModuleModel),
            Identifiers = WithReference(said.Identifiers, posted.Module),
            Condition = ToHistory(said.Condition),
            Site = Known(said.Site),
            HostModel = Known(said.HostModel),
            Lot = Known(said.Lot),
            Start = EventTimes.Window(said.StartTime, dayZone),
            End = EventTimes.Window(said.EndTime, dayZone),
            AgeAtObservationHours = said.HasAgeAtObservation ? said.AgeAtObservation : null,
            AgeAtEndHours = said.AgeAtEnd,
            AgeLastWorkingHours = said.HasAgeLastWorking ? said.AgeLastWorking : null,
            FailureMoment = said.FailureMoment,
            Outcome = said.Outcome == V1.LifeOutcome.Failed ? ReportedOutcome.Failed : ReportedOutcome.Survived,
            Reason = said.RemovalReason == V1.RemovalReason.Unspecified
                ? null : Words.RemovalReasons.ToHistory(said.RemovalReason),
            InService = said.InService,
            FailureMode = Known(said.FailureMode),
            CompleteFrom = said.CompleteFrom?.ToDateTimeOffset(),
        };
    }

    /// <summary>The identifier by which a module was posted is one of its identifiers, said or not.</summary>
    private static List<ModuleIdentifier> WithReference(IEnumerable<V1.Identifier> said, string reference)
    {
        List<ModuleIdentifier> identifiers = [.. said.Select(ToHistory).Distinct()];
        if (ModuleReference.Identifier(reference) is { } known
            && !identifiers.Exists(typed => IdentifierText.Canonical(typed) == known))
            identifiers.Add(known);
        return identifiers;
    }

    // An event that names a host device tells of that host's meter, said or not.
    private static MeterOwner? MeterRead(V1.Meter meter, string reference) => meter switch
    {
        V1.Meter.Module => MeterOwner.Module,
        V1.Meter.Host => MeterOwner.Host,
        _ => ModuleReference.HostDevice(reference) is null ? null : MeterOwner.Host,
    };

    private static string? Known(string text) => text.Length == 0 ? null : text;
}
