using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Reliability.History.Events;
using Reliability.History.Identifiers;
using Reliability.Service.Errors;
using EventCase = Reliability.V1.ModuleEvent.EventOneofCase;

namespace Reliability.Service.Events;

/// <summary>
/// Holds one event to what must be right in itself, whatever else has arrived. Every field that breaks a rule is told of.
/// Most events are right, so paths are put together only where something is wrong.
/// </summary>
/// <param name="times">The service's time zone.</param>
/// <param name="index">Where the event stands in its call: 3 for <c>events[3]</c>.</param>
internal sealed class EventCheck(EventTimes times, int index)
{
    private const int MaxReadings = 1_000, MaxIdentifiers = 20, MaxCautions = 100, MaxRefurbishments = 1_000;

    // 114,000 years: above it a number is no reading.
    private const double MaxHours = 1e9, MostOutput = 2;

    private Violations? _violations;

    // Where in the event the check stands: at the event itself, or at one that it carries.
    private string _within = string.Empty;

    private string Path => string.Create(CultureInfo.InvariantCulture, $"events[{index}]{_within}");

    /// <summary>Checks the event.</summary>
    /// <returns>What is wrong; null when nothing is.</returns>
    public Violations? Check(V1.ModuleEvent posted)
    {
        Text(posted.EventId, "event_id", 200, required: true);
        Text(posted.Source, "source", 100, required: true);
        if (ModuleReference.Problem(posted) is var (field, rule))
            Refuse(field, rule);
        Text(posted.Note, "note", 200, lines: true);
        Text(posted.ActorId, "actor_id", 100);
        Occurrence(posted);
        WhatHappened(posted);
        return _violations;
    }

    private void Occurrence(V1.ModuleEvent posted)
    {
        EventTime(posted.OccurTime, "occur_time", required: true);
        Defined(posted.OccurPrecision, "occur_precision");
        if (times.Zone(posted.Zone) is null)
            Refuse("zone", "must be an IANA time zone, such as \"Europe/Lisbon\"");
    }

    private void WhatHappened(V1.ModuleEvent posted)
    {
        switch (posted.EventCase)
        {
            case EventCase.Registered: Registered(posted.Registered); break;
            case EventCase.Installed: Installed(posted.Installed); break;
            case EventCase.RunHoursRead: RunHoursRead(posted.RunHoursRead); break;
            case EventCase.MeterChanged: MeterChanged(posted.MeterChanged); break;
            case EventCase.OutputMeasured: OutputMeasured(posted.OutputMeasured); break;
            case EventCase.Failed: Failed(posted.Failed); break;
            case EventCase.Removed: Removed(posted.Removed); break;
            case EventCase.Repaired: Repaired(posted.Repaired); break;
            case EventCase.Refurbished: Refurbished(posted.Refurbished); break;
            case EventCase.Retired: Retired(posted.Retired); break;
            case EventCase.Retracted: Retracted(posted.Retracted); break;
            case EventCase.Replaced: Replaced(posted); break;
            case EventCase.LifeReported: new LifeReportCheck(this).Check(posted.LifeReported, posted.OccurPrecision); break;
            default: Violated().Add(Path, "must have one of " + KnownEvents); break;
        }
    }

    internal static string KnownEvents { get; } = string.Join(
        ", ", V1.ModuleEvent.Descriptor.Oneofs.Single(oneof => oneof.Name == "event").Fields.Select(field => field.Name));

    private void Registered(V1.Registered said)
    {
        Model(said.ModuleModel, "registered.module_model");
        Identifiers(said.Identifiers, "registered.identifiers");
        Text(said.Lot, "registered.lot", 200);
        Condition(said.Condition, "registered.condition");
        Hours(said.HasAgeHours, said.AgeHours, "registered.age_hours");
        Hours(said.HasReadingHours, said.ReadingHours, "registered.reading_hours");
        EventTime(said.CompleteFrom, "registered.complete_from");
    }

    private void Installed(V1.Installed said)
    {
        Text(said.HostDevice, "installed.host_device", ModuleReference.LongestHost, required: true);
        Text(said.Position, "installed.position", 100);
        Text(said.Site, "installed.site", 200);
        Text(said.HostModel, "installed.host_model", 200);
        Hours(said.HasReadingHours, said.ReadingHours, "installed.reading_hours");
        Defined(said.Meter, "installed.meter");
        if (said.HasExpectedHoursPerDay && !(said.ExpectedHoursPerDay is >= 0 and <= 24))
            Refuse("installed.expected_hours_per_day", "must be between 0 and 24");
    }

    private void RunHoursRead(V1.RunHoursRead said)
    {
        Defined(said.Meter, "run_hours_read.meter");
        Count(said.Readings.Count, "run_hours_read.readings", 1, MaxReadings);
        for (var i = 0; i < Math.Min(said.Readings.Count, MaxReadings); i++)
        {
            var reading = said.Readings[i];
            if (!reading.HasHours || !AreHours(reading.Hours))
                RequiredHours(reading.HasHours, reading.Hours, $"run_hours_read.readings[{i}].hours");
            if (reading.ReadTime is not null)
                EventTime(reading.ReadTime, $"run_hours_read.readings[{i}].read_time");
        }
    }

    private void MeterChanged(V1.MeterChanged said)
    {
        Defined(said.Meter, "meter_changed.meter");
        RequiredHours(said.HasFinalHours, said.FinalHours, "meter_changed.final_hours");
        RequiredHours(said.HasFirstHours, said.FirstHours, "meter_changed.first_hours");
    }

    private void OutputMeasured(V1.OutputMeasured said)
    {
        switch (said.OutputCase)
        {
            case V1.OutputMeasured.OutputOneofCase.Fraction:
                OutputFraction(said.Fraction, "output_measured.fraction");
                break;
            case V1.OutputMeasured.OutputOneofCase.MeasuredValue:
                if (!double.IsFinite(said.MeasuredValue) || said.MeasuredValue < 0)
                    Refuse("output_measured.measured_value", "must be a finite number, 0 or more");
                break;
            default:
                Refuse("output_measured", "must have one of fraction, measured_value");
                break;
        }

        Hours(said.HasReadingHours, said.ReadingHours, "output_measured.reading_hours");
    }

    private void Failed(V1.Failed said)
    {
        Text(said.FailureMode, "failed.failure_mode", 100);
        Hours(said.HasReadingHours, said.ReadingHours, "failed.reading_hours");
        Defined(said.Moment, "failed.moment");
    }

    private void Removed(V1.Removed said)
    {
        if (said.Reason == V1.RemovalReason.Unspecified)
            Refuse("removed.reason", "must be stated; REMOVAL_REASON_OTHER is for reasons that have no code");
        Defined(said.Reason, "removed.reason");
        Hours(said.HasReadingHours, said.ReadingHours, "removed.reading_hours");
        Count(said.ConfirmedCautions.Count, "removed.confirmed_cautions", 0, MaxCautions);
        for (var i = 0; i < Math.Min(said.ConfirmedCautions.Count, MaxCautions); i++)
            Text(said.ConfirmedCautions[i], $"removed.confirmed_cautions[{i}]", 100, required: true);
    }

    private void Repaired(V1.Repaired said)
    {
        Text(said.Repairer, "repaired.repairer", 200);
        Defined(said.Renewal, "repaired.renewal");
        Hours(said.HasReadingBeforeHours, said.ReadingBeforeHours, "repaired.reading_before_hours");
        Hours(said.HasReadingAfterHours, said.ReadingAfterHours, "repaired.reading_after_hours");
        if (said.HasAcceptanceOutputFraction)
            OutputFraction(said.AcceptanceOutputFraction, "repaired.acceptance_output_fraction");
    }

    private void Refurbished(V1.Refurbished said)
    {
        Text(said.Refurbisher, "refurbished.refurbisher", 200);
        Defined(said.Renewal, "refurbished.renewal");
        Hours(said.HasReadingBeforeHours, said.ReadingBeforeHours, "refurbished.reading_before_hours");
        Hours(said.HasReadingAfterHours, said.ReadingAfterHours, "refurbished.reading_after_hours");
        if (said.HasAcceptanceOutputFraction)
            OutputFraction(said.AcceptanceOutputFraction, "refurbished.acceptance_output_fraction");
    }

    private void Retired(V1.Retired said)
    {
        Text(said.Reason, "retired.reason", 100);
        Defined(said.DisposalRoute, "retired.disposal_route");
    }

    private void Retracted(V1.Retracted said)
    {
        Text(said.TargetSource, "retracted.target_source", 100, required: true);
        Text(said.TargetEventId, "retracted.target_event_id", 200, required: true);
    }

    private void Replaced(V1.ModuleEvent posted)
    {
        Text(posted.Replaced.TargetSource, "replaced.target_source", 100, required: true);
        Text(posted.Replaced.TargetEventId, "replaced.target_event_id", 200, required: true);
        if (posted.Replaced.Event is not { } right)
        {
            Refuse("replaced.event", "must be given: the right event, with its occur_time and what happened");
            return;
        }

        _within = ".replaced.event";
        Given(right.EventId, "event_id");
        Given(right.Source, "source");
        Given(right.Note, "note");
        Given(right.ActorId, "actor_id");
        if (right.Module.Length > 0 && right.Module != posted.Module)
            Refuse("module", "must be empty or that of the event that replaces; to move an event to another module, retract it there and post it here");
        Occurrence(right);
        if (right.EventCase is EventCase.Retracted or EventCase.Replaced)
            Violated().Add(Path, "must be what happened to the module, not a correction");
        else
            WhatHappened(right);
        _within = string.Empty;

        void Given(string text, string field)
        {
            if (text.Length > 0)
                Refuse(field, "must be empty: the right event has that of the event that replaces");
        }
    }

    internal void Model(string name, string field)
    {
        if (!ResourceNames.IsModuleModel(name))
            Refuse(field, ResourceNames.ModuleModelRule);
    }

    internal void Identifiers(IReadOnlyList<V1.Identifier> identifiers, string field)
    {
        Count(identifiers.Count, field, 0, MaxIdentifiers);
        for (var i = 0; i < Math.Min(identifiers.Count, MaxIdentifiers); i++)
        {
            if (identifiers[i].Kind == V1.IdentifierKind.Unspecified)
                Refuse($"{field}[{i}].kind", "must be stated");
            Defined(identifiers[i].Kind, $"{field}[{i}].kind");
            IdentifierValue(identifiers[i], $"{field}[{i}].value");
        }
    }

    // Scanners send separators within a UDI.
    private void IdentifierValue(V1.Identifier identifier, string field)
    {
        var udi = identifier.Kind == V1.IdentifierKind.Udi;
        Text(udi ? identifier.Value.Replace(IdentifierText.Separator, '-') : identifier.Value, field, 200, required: true);
        if (udi && IdentifierText.BrokenRule(IdentifierKind.Udi, identifier.Value) is { } rule)
            Refuse(field, rule);
    }

    internal void Condition(V1.Condition? condition, string field)
    {
        if (condition is null)
            return;
        if (condition.RefurbishmentCount is < 0 or > MaxRefurbishments)
            Refuse(field + ".refurbishment_count", "must be between 0 and 1,000");
        Text(condition.Refurbisher, field + ".refurbisher", 200);
        if (condition.RefurbishmentCount == 0 && condition.Refurbisher.Length > 0)
            Refuse(field + ".refurbisher", "must be empty for a new module; a refurbished one has a refurbishment_count of 1 or more");
    }

    internal void Text(string text, string field, int longest, bool required = false, bool lines = false)
    {
        if (required && string.IsNullOrWhiteSpace(text))
            Refuse(field, string.Create(CultureInfo.InvariantCulture, $"must have 1 to {longest} characters"));
        else if (text.Length > longest)
            Refuse(field, string.Create(CultureInfo.InvariantCulture, $"must not be longer than {longest} characters"));
        else if (text.AsSpan().ContainsAnyInRange('\0', '\x1F') && !(lines && OnlyLineBreaks(text)))
            Refuse(field, "must not hold control characters");
    }

    /// <summary>Whether the time is there and right.</summary>
    internal bool EventTime(Timestamp? time, string field, bool required = false)
    {
        if (time is not null && EventTimes.IsValid(time))
            return true;
        if (time is not null || required)
            Refuse(field, EventTimes.Rule);
        return false;
    }

    /// <summary>Whether optional hours, where given, are right.</summary>
    internal bool Hours(bool given, double hours, string field)
    {
        if (!given || AreHours(hours))
            return true;
        Refuse(field, "must be a number of hours between 0 and 1,000,000,000; got " + Number(hours));
        return false;
    }

    internal bool RequiredHours(bool given, double hours, string field)
    {
        if (given)
            return Hours(true, hours, field);
        Refuse(field, "must be given");
        return false;
    }

    internal void Defined<T>(T value, string field)
        where T : struct, System.Enum
    {
        if (!System.Enum.IsDefined(value))
            Refuse(field, "must be one of the values of " + typeof(T).Name);
    }

    internal void Refuse(string field, string rule) => Violated().Add($"{Path}.{field}", rule);

    internal static string Number(double value) => value.ToString("R", CultureInfo.InvariantCulture);

    private static bool AreHours(double value) => value is >= 0 and <= MaxHours;

    private Violations Violated() => _violations ??= new();

    // Nothing gives twice what it gave when new: what is above is meant in percent.
    private void OutputFraction(double value, string field)
    {
        if (value > MostOutput)
            Refuse(field, "must be a fraction of the output when new, at most 2, such as 0.85 for 85 %; got " + Number(value));
        else
            Positive(value, field);
    }

    private void Positive(double value, string field)
    {
        if (!double.IsFinite(value) || value <= 0)
            Refuse(field, "must be a finite number above 0; got " + Number(value));
    }

    private void Count(int count, string field, int least, int most)
    {
        if (count < least || count > most)
            Refuse(field, string.Create(CultureInfo.InvariantCulture, $"must have {least:N0} to {most:N0} entries; got {count:N0}"));
    }

    private static bool OnlyLineBreaks(string text) =>
        text.All(character => character >= ' ' || character is '\n' or '\r' or '\t');
}
