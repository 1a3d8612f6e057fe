using Google.Protobuf.WellKnownTypes;
using Reliability.History.Events;

namespace Reliability.Service.Events;

/// <summary>Events of the record back into events of the wire, as they were posted.</summary>
internal static class EventWire
{
    /// <summary>The event as it was posted. A day comes back as the instant at which it began.</summary>
    public static V1.ModuleEvent ToWire(RecordedEvent recorded)
    {
        var wire = WhatHappened(recorded.Occurrence, recorded.Body);
        wire.EventId = recorded.OriginalId;
        wire.Source = recorded.Source;
        wire.Module = ModuleReference.ToWire(recorded.ModuleId);
        wire.Note = recorded.Note ?? string.Empty;
        wire.ActorId = recorded.ActorId ?? string.Empty;
        return wire;
    }

    private static V1.ModuleEvent WhatHappened(Occurrence occurrence, EventBody body)
    {
        var wire = new V1.ModuleEvent
        {
            OccurTime = Time(occurrence.Earliest),
            OccurPrecision = occurrence.Precision == TimePrecision.Day ? V1.OccurPrecision.Day : V1.OccurPrecision.Instant,
            Zone = occurrence.Zone ?? string.Empty,
        };
        SetBody(wire, body);
        return wire;
    }

    public static V1.Identifier ToWire(ModuleIdentifier identifier) =>
        new() { Kind = Words.IdentifierKinds.ToWire(identifier.Kind), Value = identifier.Value };

    public static V1.Condition? ToWire(Condition? condition) => condition is null
        ? null
        : new() { RefurbishmentCount = condition.RefurbishmentCount, Refurbisher = condition.Refurbisher ?? string.Empty };

    public static Timestamp Time(DateTimeOffset time) => Timestamp.FromDateTimeOffset(time);

    public static Timestamp? Time(DateTimeOffset? time) => time is { } known ? Time(known) : null;

    private static void SetBody(V1.ModuleEvent wire, EventBody body)
    {
        switch (body)
        {
            case RegisteredV1 said: wire.Registered = Registered(said); break;
            case InstalledV1 said: wire.Installed = Installed(said); break;
            case RunHoursReadV1 said: wire.RunHoursRead = RunHoursRead(said); break;
            case MeterChangedV1 said: wire.MeterChanged = MeterChanged(said); break;
            case OutputMeasuredV1 said: wire.OutputMeasured = OutputMeasured(said); break;
            case FailedV1 said: wire.Failed = Failed(said); break;
            case RemovedV1 said: wire.Removed = Removed(said); break;
            case RepairedV1 said: wire.Repaired = Repaired(said); break;
            case RefurbishedV1 said: wire.Refurbished = Refurbished(said); break;
            case RetiredV1 said:
                wire.Retired = new()
                {
                    Reason = said.Reason ?? string.Empty,
                    DisposalRoute = Words.DisposalRoute(said.DisposalRoute),
                };
                break;
            case RetractedV1 said:
                wire.Retracted = new() { TargetSource = said.TargetSource, TargetEventId = said.TargetEventId };
                break;
            case ReplacedV1 said:
                wire.Replaced = new()
                {
                    TargetSource = said.TargetSource,
                    TargetEventId = said.TargetEventId,
                    Event = WhatHappened(said.Occurrence, said.Body),
                };
                break;
            case LifeReportedV1 said: wire.LifeReported = LifeReported(said); break;
            default: throw new ArgumentException($"The wire has no event for {body.GetType().Name}.", nameof(body));
        }
    }

    private static V1.Registered Registered(RegisteredV1 said)
    {
        var wire = new V1.Registered
        {
            ModuleModel = ResourceNames.ModuleModel(said.Model),
            Lot = said.Lot ?? string.Empty,
            Condition = ToWire(said.Condition),
            CompleteFrom = Time(said.CompleteFrom),
        };
        wire.Identifiers.AddRange(said.Identifiers.Select(ToWire));
        if (said.AgeHours is { } age)
            wire.AgeHours = age;
        if (said.ReadingHours is { } reading)
            wire.ReadingHours = reading;
        return wire;
    }

    private static V1.Installed Installed(InstalledV1 said)
    {
        var wire = new V1.Installed
        {
            HostDevice = said.HostDevice,
            Position = said.Position ?? string.Empty,
            Site = said.Site ?? string.Empty,
            HostModel = said.HostModel ?? string.Empty,
            Meter = said.Meter == MeterOwner.Host ? V1.Meter.Host : V1.Meter.Module,
        };
        if (said.ReadingHours is { } reading)
            wire.ReadingHours = reading;
        if (said.MeterStopsAtFailure is { } stops)
            wire.MeterStopsAtFailure = stops;
        if (said.ExpectedHoursPerDay is { } expected)
            wire.ExpectedHoursPerDay = expected;
        return wire;
    }

    private static V1.RunHoursRead RunHoursRead(RunHoursReadV1 said)
    {
        var wire = new V1.RunHoursRead { Meter = Meter(said.Meter) };
        wire.Readings.AddRange(said.Readings.Select(reading =>
            new V1.MeterReading { ReadTime = Time(reading.Earliest), Hours = reading.Hours }));
        return wire;
    }

    private static V1.MeterChanged MeterChanged(MeterChangedV1 said)
    {
        var wire = new V1.MeterChanged { Meter = Meter(said.Meter) };
        if (said.FinalHours is { } final)
            wire.FinalHours = final;
        if (said.FirstHours is { } first)
            wire.FirstHours = first;
        return wire;
    }

    private static V1.OutputMeasured OutputMeasured(OutputMeasuredV1 said)
    {
        var wire = new V1.OutputMeasured();
        if (said.Fraction is { } fraction)
            wire.Fraction = fraction;
        if (said.Value is { } value)
            wire.MeasuredValue = value;
        if (said.ReadingHours is { } reading)
            wire.ReadingHours = reading;
        return wire;
    }

    private static V1.Failed Failed(FailedV1 said)
    {
        var wire = new V1.Failed
        {
            FailureMode = said.Mode ?? string.Empty,
            Moment = said.ReadingIs == FailureReading.Moment ? V1.FailureMoment.Failure : V1.FailureMoment.Discovery,
        };
        if (said.ReadingHours is { } reading)
            wire.ReadingHours = reading;
        return wire;
    }

    private static V1.Removed Removed(RemovedV1 said)
    {
        var wire = new V1.Removed { Reason = Words.RemovalReasons.ToWire(said.Reason) };
        wire.ConfirmedCautions.AddRange(said.ConfirmedCautions);
        if (said.ReadingHours is { } reading)
            wire.ReadingHours = reading;
        return wire;
    }

    private static V1.Repaired Repaired(RepairedV1 said)
    {
        var wire = new V1.Repaired
        {
            Repairer = said.By ?? string.Empty,
            Renewal = Words.Renewals.ToWire(said.RenewsWearingPart),
        };
        if (said.ReadingBeforeHours is { } before)
            wire.ReadingBeforeHours = before;
        if (said.ReadingAfterHours is { } after)
            wire.ReadingAfterHours = after;
        if (said.AcceptanceOutputFraction is { } output)
            wire.AcceptanceOutputFraction = output;
        return wire;
    }

    private static V1.Refurbished Refurbished(RefurbishedV1 said)
    {
        var wire = new V1.Refurbished
        {
            Refurbisher = said.By ?? string.Empty,
            Renewal = Words.Renewals.ToWire(said.RenewsWearingPart),
        };
        if (said.ReadingBeforeHours is { } before)
            wire.ReadingBeforeHours = before;
        if (said.ReadingAfterHours is { } after)
            wire.ReadingAfterHours = after;
        if (said.AcceptanceOutputFraction is { } output)
            wire.AcceptanceOutputFraction = output;
        return wire;
    }

    private static V1.LifeReported LifeReported(LifeReportedV1 said)
    {
        var wire = new V1.LifeReported
        {
            ModuleModel = ResourceNames.ModuleModel(said.Model),
            Condition = ToWire(said.Condition),
            Site = said.Site ?? string.Empty,
            HostModel = said.HostModel ?? string.Empty,
            Lot = said.Lot ?? string.Empty,
            StartTime = Time(said.Start.Earliest),
            EndTime = Time(said.End.Earliest),
            AgeAtEnd = said.AgeAtEndHours,
            FailureMoment = said.FailureMoment,
            Outcome = said.Outcome == ReportedOutcome.Failed ? V1.LifeOutcome.Failed : V1.LifeOutcome.Survived,
            RemovalReason = said.Reason is { } reason
                ? Words.RemovalReasons.ToWire(reason) : V1.RemovalReason.Unspecified,
            InService = said.InService,
            FailureMode = said.FailureMode ?? string.Empty,
            CompleteFrom = Time(said.CompleteFrom),
        };
        wire.Identifiers.AddRange(said.Identifiers.Select(ToWire));
        if (said.AgeAtObservationHours is { } atObservation)
            wire.AgeAtObservation = atObservation;
        if (said.AgeLastWorkingHours is { } lastWorking)
            wire.AgeLastWorking = lastWorking;
        return wire;
    }

    private static V1.Meter Meter(MeterOwner? meter) => meter switch
    {
        MeterOwner.Module => V1.Meter.Module,
        MeterOwner.Host => V1.Meter.Host,
        _ => V1.Meter.Unspecified,
    };
}
