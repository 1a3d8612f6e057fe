using System.Text.Json;
using Reliability.Files.Lines;

namespace Reliability.Files.Mappings;

/// <summary>Reads a mapping out of its JSON and tells all that is wrong in it.</summary>
internal sealed class MappingReader
{
    private const int MaxRows = 200, MaxEvents = 8, MaxDepth = 16;

    private readonly List<FileProblem> _problems = [];
    private readonly Dictionary<string, ValueTable> _tables = [];

    /// <inheritdoc cref="Mapping.Read" />
    public static Mapping Read(ReadOnlyMemory<byte> json, string name)
    {
        if (json.Length > FileLimits.MaxMappingBytes)
            throw new FileUnusableException(name, new FileProblem("", $"a mapping has at most {FileLimits.MaxMappingBytes / 1024:N0} KiB"));
        try
        {
            // A byte order mark is no JSON, but some editors write one.
            ReadOnlyMemory<byte> text = json.Span.StartsWith<byte>([0xEF, 0xBB, 0xBF]) ? json[3..] : json;
            JsonDocumentOptions options = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true, MaxDepth = MaxDepth };
            using JsonDocument document = JsonDocument.Parse(text, options);
            MappingReader reader = new();
            Mapping mapping = reader.Document(new JsonPlace(document.RootElement, "", reader._problems), name);
            return reader._problems.Count == 0 ? mapping : throw new FileUnusableException(name, reader._problems);
        }
        catch (JsonException failure)
        {
            throw new FileUnusableException(
                name, new FileProblem($"line {failure.LineNumber + 1}", $"is not valid JSON at byte {failure.BytePositionInLine + 1}"));
        }
        catch (InvalidOperationException)
        {
            // System.Text.Json reads strings late, and refuses what is not Unicode then.
            throw new FileUnusableException(name, new FileProblem("", "holds text that is not valid Unicode"));
        }
    }

    private Mapping Document(JsonPlace place, string name)
    {
        IReadOnlyDictionary<string, JsonPlace> members = place.Members(
            "description", "delimiter", "encoding", "decimal_comma", "thousands", "date_formats", "precision", "constants", "tables", "rows");
        members.GetValueOrDefault("description")?.Text();
        char delimiter = members.GetValueOrDefault("delimiter")?.OneOf(",", ";", "\t", "|") is [char sign] ? sign : ',';
        TextEncoding encoding = members.GetValueOrDefault("encoding")?.OneOf("utf-8", "iso-8859-1") == "iso-8859-1" ? TextEncoding.Latin1 : TextEncoding.Utf8;
        foreach ((string table, JsonPlace values) in members.GetValueOrDefault("tables")?.Members() ?? new Dictionary<string, JsonPlace>())
            _tables[table] = Table(table, values);
        if (!members.ContainsKey("rows"))
            place.Refuse("needs rows: what becomes of the rows of the file");
        IReadOnlyList<JsonPlace> rows = members.GetValueOrDefault("rows")?.Items() ?? [];
        if (rows.Count is 0 or > MaxRows && members.TryGetValue("rows", out JsonPlace? all))
            all.Refuse($"must have 1 to {MaxRows} rules");
        return new Mapping(name, delimiter, encoding, Formats(members), Constants(members.GetValueOrDefault("constants")), [.. rows.Take(MaxRows).Select(Row)]);
    }

    private static CellFormats Formats(IReadOnlyDictionary<string, JsonPlace> members)
    {
        bool comma = members.GetValueOrDefault("decimal_comma")?.Flag() ?? false;
        string thousands = members.TryGetValue("thousands", out JsonPlace? between) ? between.OneOf(".", ",", " ", "'") : "";
        if (thousands == (comma ? "," : "."))
            between!.Refuse("must be another sign than the one before decimals");
        List<string> formats = [];
        foreach (JsonPlace place in members.GetValueOrDefault("date_formats")?.Items() ?? [])
        {
            string format = place.Text();
            if (!CellFormats.IsDateFormat(format))
                place.Refuse("must be the form of a day or time, such as \"dd.MM.yyyy\" or \"dd.MM.yyyy HH:mm\"");
            else if (formats.Find(earlier => CellFormats.Contradict(earlier, format)) is string earlier)
                place.Refuse($"reads the same text as another day than {Quoted.Of(earlier)} does");
            else
                formats.Add(format);
        }
        bool daysOnly = members.GetValueOrDefault("precision")?.OneOf("day", "as_written") == "day";
        return new CellFormats(comma, thousands, formats, daysOnly);
    }

    private static Dictionary<string, string> Constants(JsonPlace? place) =>
        place?.Members().ToDictionary(member => member.Key, member => member.Value.FilledText().Trim()) ?? [];

    private static ValueTable Table(string name, JsonPlace place) =>
        new(name, place.Members().ToDictionary(member => member.Key.Trim(), member => member.Value.IsNull ? null : member.Value.FilledText().Trim()));

    private RowRule Row(JsonPlace place)
    {
        IReadOnlyDictionary<string, JsonPlace> members = place.Members("description", "when", "ignore", "events");
        members.GetValueOrDefault("description")?.Text();
        if (members.ContainsKey("ignore") == members.ContainsKey("events"))
            place.Refuse("must have either ignore, with the reason, or events");
        IReadOnlyList<JsonPlace> events = members.GetValueOrDefault("events")?.Items() ?? [];
        if (events.Count is 0 or > MaxEvents && members.TryGetValue("events", out JsonPlace? all))
            all.Refuse($"must have 1 to {MaxEvents} events");
        return new RowRule(
            place.Path, When(members.GetValueOrDefault("when")), members.GetValueOrDefault("ignore")?.FilledText(),
            [.. events.Take(MaxEvents).Select(Event)]);
    }

    private EventRule Event(JsonPlace place)
    {
        IReadOnlyDictionary<string, JsonPlace> members = place.Members("description", "event", "when", "fields");
        members.GetValueOrDefault("description")?.Text();
        string[] kinds = [.. EventFiles.EventColumns.Kinds, EventRule.Life];
        if (!members.ContainsKey("event"))
            place.Refuse("needs event: which kind of event the row says");
        if (!members.ContainsKey("fields"))
            place.Refuse("needs fields: where the values of the event come from");
        return new EventRule(
            place.Path,
            members.GetValueOrDefault("event")?.OneOf(kinds) ?? "",
            When(members.GetValueOrDefault("when")),
            [.. (members.GetValueOrDefault("fields")?.Members() ?? new Dictionary<string, JsonPlace>()).Select(field => Field(field.Key, field.Value))]);
    }

    private static IReadOnlyList<CellCondition> When(JsonPlace? place) =>
        [.. (place?.Members() ?? new Dictionary<string, JsonPlace>()).Select(member => Condition(member.Key, member.Value))];

    private static CellCondition Condition(string column, JsonPlace place)
    {
        bool not = place.IsObject;
        JsonPlace? values = not ? place.Members("not").GetValueOrDefault("not") : place;
        if (values is null)
            place.Refuse("must be a list of values, or {\"not\": [...]}");
        HashSet<string> texts = [.. (values?.Items() ?? []).Select(item => item.Text().Trim())];
        if (values is not null && texts.Count == 0)
            values.Refuse("must have at least one value");
        return new CellCondition(place.Path, column.Trim(), texts, not);
    }

    private FieldRule Field(string field, JsonPlace place)
    {
        if (place.IsText)
            return new FieldRule(place.Path, field, [place.FilledText().Trim()], null, null, "", "");
        IReadOnlyDictionary<string, JsonPlace> members = place.Members("column", "columns", "value", "table", "prefix", "suffix");
        string[] origins = [.. members.Keys.Where(key => key is "column" or "columns" or "value")];
        if (origins.Length != 1)
            place.Refuse("must have one of column, columns, value");
        if (origins is ["value"] && members.Count > 1)
            place.Refuse("has a value of its own, which takes no table, prefix or suffix");
        IReadOnlyList<string> columns = members.TryGetValue("column", out JsonPlace? column) ? [column.FilledText().Trim()]
            : [.. (members.GetValueOrDefault("columns")?.Items() ?? []).Select(item => item.FilledText().Trim())];
        return new FieldRule(
            place.Path, field, columns, members.GetValueOrDefault("value")?.FilledText().Trim(), TableOf(members.GetValueOrDefault("table")),
            members.GetValueOrDefault("prefix")?.Text() ?? "", members.GetValueOrDefault("suffix")?.Text() ?? "");
    }

    private ValueTable? TableOf(JsonPlace? place)
    {
        if (place is null)
            return null;
        string name = place.Text();
        if (_tables.TryGetValue(name, out ValueTable? table))
            return table;
        place.Refuse($"there is no table {Quoted.Of(name)} in tables{NearestNames.Hint(name, _tables.Keys)}");
        return null;
    }
}
