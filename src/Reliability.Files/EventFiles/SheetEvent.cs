using Google.Protobuf.Collections;
using Reliability.Files.Sheets;
using Reliability.Files.Times;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>What rows of all sheets have in common: id, source, zone, and how names and conditions are written.</summary>
internal sealed class SheetEvent
{
    private static readonly string[] NotContent = ["event_id", "source"];

    /// <summary>The columns of identifiers, each with its kind.</summary>
    public static readonly IReadOnlyList<(string Column, IdentifierKind Kind)> IdentifierColumns =
    [
        ("serial_number", IdentifierKind.SerialNumber), ("udi", IdentifierKind.Udi), ("asset_number", IdentifierKind.AssetNumber),
    ];

    private readonly RowFields _fields;
    private readonly CsvRow _row;
    private readonly FileDefaults _defaults;
    private readonly ContentIds _ids;

    /// <summary>Reads the zone, in which the times of the row are meant.</summary>
    public SheetEvent(RowFields fields, CsvRow row, FileDefaults defaults, ContentIds ids)
    {
        _fields = fields;
        _row = row;
        _defaults = defaults;
        _ids = ids;
        Zone = defaults.Zone;
        if (fields.Text("zone") is string name)
        {
            if (ZoneName.TryFind(name, out ZoneName zone))
                Zone = zone;
            else
                fields.Problem("zone", $"{Quoted.Of(name)} is not an IANA time zone such as Europe/London");
        }
    }

    /// <summary>The zone of the row.</summary>
    public ZoneName Zone { get; }

    /// <summary>The event with what all have in common; the rest of the row has to be read by now.</summary>
    public ModuleEvent Event(string kind)
    {
        ModuleEvent posted = new()
        {
            Source = _fields.Text("source") ?? _defaults.Source,
            Zone = Zone.Name,
            Note = _fields.Text("note") ?? "",
        };
        if (posted.Source.Length == 0)
            _fields.Problem("source", "a value is needed, or a source for the whole file (source; on the command line --source)");
        if (_fields.Text("event_id") is string id)
            posted.EventId = id;
        else if (_ids.Count < FileLimits.MaxRowsWithoutId)
            posted.EventId = _ids.Next(kind, Content());
        else
            _fields.Problem("event_id", $"the file has more than {FileLimits.MaxRowsWithoutId:N0} rows without an id; give ids, or post it in parts");
        return posted;
    }

    /// <summary>The condition; null when the row says nothing of it.</summary>
    public static Condition? ReadCondition(RowFields fields)
    {
        int? count = fields.Whole("refurbishment_count");
        string? refurbisher = fields.Text("refurbisher");
        return count is null && refurbisher is null
            ? null
            : new Condition { RefurbishmentCount = count ?? 0, Refurbisher = refurbisher ?? "" };
    }

    /// <summary>Adds the identifiers that the row has.</summary>
    public static void AddIdentifiers(RowFields fields, RepeatedField<Identifier> identifiers)
    {
        foreach ((string column, IdentifierKind kind) in IdentifierColumns)
        {
            if (fields.Text(column) is string value)
                identifiers.Add(new Identifier { Kind = kind, Value = value });
        }
    }

    // What the command line adds is part of what the row says: with another zone it is another statement.
    private Dictionary<string, string> Content()
    {
        Dictionary<string, string> content = new(_row.Values.Where(pair => !NotContent.Contains(pair.Key)));
        if (Zone.Name.Length > 0)
            content["zone"] = Zone.Name;
        if (_defaults.CompleteFrom is not null)
            content.TryAdd("complete_from", _defaults.CompleteFrom);
        return content;
    }
}
