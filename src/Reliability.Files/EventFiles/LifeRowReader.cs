using Google.Protobuf.WellKnownTypes;
using Reliability.Files.Sheets;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>Reads a row in our own columns into a life reported whole.</summary>
internal sealed class LifeRowReader(FileDefaults defaults, ContentIds ids) : IRowReader
{
    /// <summary>The columns that a sheet of lives needs.</summary>
    public static readonly IReadOnlyList<string> NeededColumns = ["module_model", "start_date", "end_date", "age_at_end", "outcome"];

    /// <summary>The columns that a sheet of lives may have.</summary>
    public static readonly IReadOnlyList<string> KnownColumns =
    [
        .. NeededColumns, "event_id", "source", "zone", "note", "serial_number", "asset_number", "udi",
        "refurbishment_count", "refurbisher", "site", "host_model", "lot", "age_at_observation", "age_last_working",
        "failure_moment", "removal_reason", "failure_mode", "in_service", "complete_from",
    ];

    /// <inheritdoc />
    public FileRow Read(CsvRow row, RowFields fields)
    {
        SheetEvent common = new(fields, row, defaults, ids);
        bool isDay = false;
        Timestamp? start = fields.NeededTime("start_date", common.Zone, ref isDay);
        Timestamp? end = fields.NeededTime("end_date", common.Zone, ref isDay);
        LifeReported life = new()
        {
            ModuleModel = ModuleModelName.Of(fields.Needed("module_model")),
            Condition = SheetEvent.ReadCondition(fields),
            Site = fields.Text("site") ?? "",
            HostModel = fields.Text("host_model") ?? "",
            Lot = fields.Text("lot") ?? "",
            StartTime = start,
            EndTime = end,
            AgeAtEnd = fields.NeededNumber("age_at_end"),
            FailureMoment = fields.YesNo("failure_moment") ?? false,
            Outcome = Outcome(fields),
            RemovalReason = fields.Word<RemovalReason>("removal_reason") ?? RemovalReason.Unspecified,
            FailureMode = fields.Text("failure_mode") ?? "",
            InService = fields.YesNo("in_service") ?? false,
            CompleteFrom = fields.From("complete_from", common.Zone) ?? defaults.CompleteFromIn(common.Zone),
        };
        SheetEvent.AddIdentifiers(fields, life.Identifiers);
        if (life.Identifiers.All(identifier => identifier.Kind == IdentifierKind.Udi))
            fields.Problem("serial_number", "a value is needed here or in asset_number");
        if (fields.Number("age_at_observation") is double observed)
            life.AgeAtObservation = observed;
        if (fields.Number("age_last_working") is double working)
            life.AgeLastWorking = working;
        ModuleEvent posted = common.Event("life");
        posted.OccurTime = end;
        posted.OccurPrecision = isDay ? OccurPrecision.Day : OccurPrecision.Instant;
        posted.LifeReported = life;
        return FileRow.Of(row.Line, row.Original, posted, fields.Problems);
    }

    private static LifeOutcome Outcome(RowFields fields)
    {
        if (fields.Needed("outcome").Length == 0)
            return LifeOutcome.Unspecified;
        LifeOutcome? outcome = fields.Word<LifeOutcome>("outcome");
        if (outcome == LifeOutcome.Between)
            fields.Problem("outcome", "a failure between two ages is written as failed, with the lower age in age_last_working");
        return outcome ?? LifeOutcome.Unspecified;
    }
}
