using Google.Protobuf.WellKnownTypes;
using Reliability.Files.Sheets;
using Reliability.Files.Times;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>The plain sheet: a whole life in each row.</summary>
internal sealed class LifeSheet : IEventFile
{
    private static readonly string[] NeededColumns = ["module_model", "start_date", "end_date", "age_at_end", "outcome"];

    /// <summary>The columns that a sheet of lives may have.</summary>
    internal static readonly IReadOnlyList<string> KnownColumns =
    [
        .. NeededColumns, "event_id", "source", "zone", "note", "serial_number", "asset_number", "udi",
        "refurbishment_count", "refurbisher", "site", "host_model", "lot", "age_at_observation", "age_last_working",
        "failure_moment", "removal_reason", "failure_mode", "in_service", "complete_from",
    ];

    private readonly CsvSheet _sheet;
    private readonly FileDefaults _defaults;
    private readonly ContentIds _ids = new();

    /// <summary>Takes a sheet as one of lives.</summary>
    /// <exception cref="FileUnusableException">The header does not fit.</exception>
    public LifeSheet(CsvSheet sheet, FileDefaults defaults)
    {
        _sheet = sheet;
        _defaults = defaults;
        sheet.CheckColumns("a sheet of lives", NeededColumns, [.. KnownColumns]);
        if (!sheet.Columns.Contains("serial_number") && !sheet.Columns.Contains("asset_number"))
            throw sheet.HeaderProblem("a sheet of lives needs the column serial_number or asset_number");
        if (defaults.Source.Length == 0 && !sheet.Columns.Contains("source"))
            throw sheet.HeaderProblem("there is no column source; give one, or a source for the whole file (--source)");
    }

    /// <inheritdoc />
    public RefusalLayout Refusals => RefusalLayout.Sheet(_sheet.HeaderText);

    /// <inheritdoc />
    public IAsyncEnumerable<FileRow> RowsAsync(CancellationToken cancellation = default) =>
        _sheet.RowsAsync(cancellation).Select(Read);

    /// <inheritdoc />
    public ValueTask DisposeAsync() => _sheet.DisposeAsync();

    private FileRow Read(CsvRow row)
    {
        RowFields fields = new(row);
        SheetEvent common = new(fields, row, _defaults, _ids);
        bool isDay = false;
        Timestamp? start = NeededTime(fields, "start_date", common.Zone, ref isDay);
        Timestamp? end = NeededTime(fields, "end_date", common.Zone, ref isDay);
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
            CompleteFrom = fields.From("complete_from", common.Zone) ?? _defaults.CompleteFromIn(common.Zone),
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

    private static Timestamp? NeededTime(RowFields fields, string column, ZoneName zone, ref bool isDay) =>
        fields.Needed(column).Length == 0 ? null : fields.Time(column, zone, ref isDay);

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
