using Google.Protobuf.WellKnownTypes;
using Reliability.Files.Sheets;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>A sheet of events: one in each row, of any kind, with a column for each field that some kind has.</summary>
internal sealed class EventSheet : IEventFile
{
    private static readonly string[] NeededColumns = ["event", "module", "occur_time"];

    private static readonly string[] CommonColumns = ["event_id", "source", "zone", "note", "actor_id"];

    private readonly CsvSheet _sheet;
    private readonly FileDefaults _defaults;
    private readonly ContentIds _ids = new();

    /// <summary>Takes a sheet as one of events.</summary>
    /// <exception cref="FileUnusableException">The header does not fit.</exception>
    public EventSheet(CsvSheet sheet, FileDefaults defaults)
    {
        _sheet = sheet;
        _defaults = defaults;
        sheet.CheckColumns("a sheet of events", NeededColumns, [.. NeededColumns, .. CommonColumns, .. EventColumns.All]);
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
        Timestamp? time = fields.Needed("occur_time").Length == 0 ? null : fields.Time("occur_time", common.Zone, ref isDay);
        string module = ModuleName(fields.Needed("module"));
        string actor = fields.Text("actor_id") ?? "";
        string kind = fields.Needed("event").Replace(' ', '_').Replace('-', '_').ToUpperInvariant().ToLowerInvariant();
        EventColumns columns = new(fields, common.Zone, _defaults);
        ModuleEvent body = new();
        if (kind.Length > 0 && !columns.TryRead(kind, body))
            fields.Problem("event", $"{Quoted.Of(kind)} is none of: {string.Join(", ", EventColumns.Kinds)}{NearestNames.Hint(kind, EventColumns.Kinds)}");
        ModuleEvent posted = common.Event("event");
        if (body.EventCase != ModuleEvent.EventOneofCase.None)
            fields.RefuseUnused($"an event {kind}");
        posted.MergeFrom(body);
        posted.Module = module;
        posted.ActorId = actor;
        posted.OccurTime = time;
        posted.OccurPrecision = isDay ? OccurPrecision.Day : OccurPrecision.Instant;
        return FileRow.Of(row.Line, row.Original, posted, fields.Problems);
    }

    private static string ModuleName(string text) =>
        text.Length == 0 || text.Contains('/', StringComparison.Ordinal) || text.Contains(':', StringComparison.Ordinal)
            ? text
            : "modules/" + text;
}
