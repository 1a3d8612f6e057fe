using Google.Protobuf.WellKnownTypes;
using Reliability.Files.Sheets;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>Reads a row in our own columns into an event of any kind.</summary>
internal sealed class EventRowReader(FileDefaults defaults, ContentIds ids) : IRowReader
{
    /// <summary>The columns that a sheet of events needs.</summary>
    public static readonly IReadOnlyList<string> NeededColumns = ["event", "module", "occur_time"];

    /// <summary>The columns that it may have.</summary>
    public static readonly IReadOnlyList<string> KnownColumns =
        [.. NeededColumns, "event_id", "source", "zone", "note", "actor_id", .. EventColumns.All];

    /// <inheritdoc />
    public FileRow Read(CsvRow row, RowFields fields)
    {
        SheetEvent common = new(fields, row, defaults, ids);
        bool isDay = false;
        Timestamp? time = fields.NeededTime("occur_time", common.Zone, ref isDay);
        string module = ModuleName(fields.Needed("module"));
        string actor = fields.Text("actor_id") ?? "";
        string kind = EventColumns.KindOf(fields.Needed("event"));
        EventColumns columns = new(fields, common.Zone, defaults);
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
