using Reliability.Files.Sheets;
using Reliability.Files.Times;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>Which columns each kind of event has in a sheet, and how they are read.</summary>
internal sealed class EventColumns(RowFields fields, ZoneName zone, FileDefaults defaults)
{
    /// <summary>The column that says which kind of event is put in place of a wrong one; the columns of that kind go with it.</summary>
    public const string RightEvent = "right_event";

    /// <summary>The column that says when the event that is put in place happened.</summary>
    public const string RightTime = "right_time";

    private const string Retraction = "retracted", Replacement = "replaced";

    /// <summary>The kinds of event that a sheet may hold.</summary>
    public static readonly IReadOnlyList<string> Kinds =
    [
        "registered", "installed", "run_hours_read", "meter_changed", "output_measured", "failed", "removed", "repaired",
        "refurbished", "retired", Retraction, Replacement,
    ];

    /// <summary>The columns that some kind has.</summary>
    public static readonly IReadOnlyList<string> All =
    [
        "module_model", "serial_number", "udi", "asset_number", "lot", "refurbishment_count", "refurbisher", "age_hours",
        "complete_from", "host_device", "position", "site", "host_model", "meter", "meter_stops_at_failure",
        "expected_hours_per_day", "reading_hours", "final_hours", "first_hours", "output_fraction", "output_value",
        "failure_mode", "moment", "removal_reason", "confirmed_cautions", "repairer", "renewal", "reading_before_hours",
        "reading_after_hours", "acceptance_output_fraction", "retirement_reason", "disposal_route", "target_source",
        "target_event_id", RightEvent, RightTime,
    ];

    /// <summary>Reads the columns of a kind into an event.</summary>
    /// <param name="kind">The kind.</param>
    /// <param name="into">Gets the body.</param>
    /// <returns>False when there is no such kind.</returns>
    public bool TryRead(string kind, ModuleEvent into)
    {
        switch (kind)
        {
            case "registered":
                into.Registered = ReadRegistered();
                return true;
            case "installed":
                into.Installed = ReadInstalled();
                return true;
            case "run_hours_read":
                into.RunHoursRead = new RunHoursRead
                {
                    Meter = ReadMeter(),
                    Readings = { new MeterReading { Hours = fields.NeededNumber("reading_hours") } },
                };
                return true;
            case "meter_changed":
                into.MeterChanged = new MeterChanged
                {
                    Meter = ReadMeter(),
                    FinalHours = fields.NeededNumber("final_hours"),
                    FirstHours = fields.NeededNumber("first_hours"),
                };
                return true;
            case "output_measured":
                into.OutputMeasured = ReadOutputMeasured();
                return true;
            case "failed":
                into.Failed = ReadFailed();
                return true;
            case "removed":
                into.Removed = ReadRemoved();
                return true;
            case "repaired":
                into.Repaired = ReadRepaired();
                return true;
            case "refurbished":
                into.Refurbished = ReadRefurbished();
                return true;
            case "retired":
                into.Retired = new Retired
                {
                    Reason = fields.Text("retirement_reason") ?? "",
                    DisposalRoute = fields.Word<DisposalRoute>("disposal_route") ?? DisposalRoute.Unspecified,
                };
                return true;
            case Retraction:
                into.Retracted = new Retracted
                {
                    TargetSource = fields.Needed("target_source"),
                    TargetEventId = fields.Needed("target_event_id"),
                };
                return true;
            case Replacement:
                into.Replaced = new Replaced
                {
                    TargetSource = fields.Needed("target_source"),
                    TargetEventId = fields.Needed("target_event_id"),
                    Event = ReadRight(),
                };
                return true;
            default:
                return false;
        }
    }

    /// <summary>The name of a kind as it is told apart here, however it is written.</summary>
    public static string KindOf(string text)
    {
        ArgumentNullException.ThrowIfNull(text);
        return text.Replace(' ', '_').Replace('-', '_').ToUpperInvariant().ToLowerInvariant();
    }

    /// <summary>The event that a replacement puts in place of the wrong one, in the columns of its kind.</summary>
    private ModuleEvent ReadRight()
    {
        ModuleEvent right = new();
        string kind = KindOf(fields.Needed(RightEvent));
        if (kind.Length > 0 && (kind is Retraction or Replacement || !TryRead(kind, right)))
        {
            string[] known = [.. Kinds.Where(known => known is not (Retraction or Replacement))];
            fields.Problem(RightEvent, $"{Quoted.Of(kind)} is none of: {string.Join(", ", known)}{NearestNames.Hint(kind, known)}");
        }

        bool isDay = false;
        right.OccurTime = fields.NeededTime(RightTime, zone, ref isDay);
        right.OccurPrecision = isDay ? OccurPrecision.Day : OccurPrecision.Instant;
        right.Zone = zone.Name;
        return right;
    }

    private Registered ReadRegistered()
    {
        Registered registered = new()
        {
            ModuleModel = ModuleModelName.Of(fields.Needed("module_model")),
            Lot = fields.Text("lot") ?? "",
            Condition = SheetEvent.ReadCondition(fields),
            CompleteFrom = fields.From("complete_from", zone) ?? defaults.CompleteFromIn(zone),
        };
        SheetEvent.AddIdentifiers(fields, registered.Identifiers);
        if (fields.Number("age_hours") is double age)
            registered.AgeHours = age;
        if (Reading() is double reading)
            registered.ReadingHours = reading;
        return registered;
    }

    private Installed ReadInstalled()
    {
        Installed installed = new()
        {
            HostDevice = fields.Needed("host_device"),
            Position = fields.Text("position") ?? "",
            Site = fields.Text("site") ?? "",
            HostModel = fields.Text("host_model") ?? "",
            Meter = ReadMeter(),
        };
        if (Reading() is double reading)
            installed.ReadingHours = reading;
        if (fields.YesNo("meter_stops_at_failure") is bool stops)
            installed.MeterStopsAtFailure = stops;
        if (fields.Number("expected_hours_per_day") is double expected)
            installed.ExpectedHoursPerDay = expected;
        return installed;
    }

    private OutputMeasured ReadOutputMeasured()
    {
        OutputMeasured measured = new();
        double? fraction = fields.Number("output_fraction");
        double? value = fields.Number("output_value");
        if (fraction is not null && value is not null)
            fields.Problem("output_value", "leave it or output_fraction empty; an output is one or the other");
        if (fraction is double part)
            measured.Fraction = part;
        if (value is double inUnit)
            measured.MeasuredValue = inUnit;
        if (Reading() is double reading)
            measured.ReadingHours = reading;
        return measured;
    }

    private Failed ReadFailed()
    {
        Failed failed = new()
        {
            FailureMode = fields.Text("failure_mode") ?? "",
            Moment = fields.Word<FailureMoment>("moment") ?? FailureMoment.Unspecified,
        };
        if (Reading() is double reading)
            failed.ReadingHours = reading;
        return failed;
    }

    private Removed ReadRemoved()
    {
        fields.Needed("removal_reason");
        Removed removed = new() { Reason = fields.Word<RemovalReason>("removal_reason") ?? RemovalReason.Unspecified };
        if (Reading() is double reading)
            removed.ReadingHours = reading;
        removed.ConfirmedCautions.Add((fields.Text("confirmed_cautions") ?? "")
            .Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries));
        return removed;
    }

    private Repaired ReadRepaired()
    {
        Repaired repaired = new() { Repairer = fields.Text("repairer") ?? "", Renewal = ReadRenewal() };
        if (fields.Number("reading_before_hours") is double before)
            repaired.ReadingBeforeHours = before;
        if (fields.Number("reading_after_hours") is double after)
            repaired.ReadingAfterHours = after;
        if (fields.Number("acceptance_output_fraction") is double output)
            repaired.AcceptanceOutputFraction = output;
        return repaired;
    }

    private Refurbished ReadRefurbished()
    {
        Refurbished refurbished = new() { Refurbisher = fields.Text("refurbisher") ?? "", Renewal = ReadRenewal() };
        if (fields.Number("reading_before_hours") is double before)
            refurbished.ReadingBeforeHours = before;
        if (fields.Number("reading_after_hours") is double after)
            refurbished.ReadingAfterHours = after;
        if (fields.Number("acceptance_output_fraction") is double output)
            refurbished.AcceptanceOutputFraction = output;
        return refurbished;
    }

    private double? Reading() => fields.Number("reading_hours");

    private Meter ReadMeter() => fields.Word<Meter>("meter") ?? Meter.Unspecified;

    private WearingPartRenewal ReadRenewal() => fields.Word<WearingPartRenewal>("renewal") ?? WearingPartRenewal.Unspecified;
}
