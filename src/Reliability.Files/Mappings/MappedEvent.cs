using Reliability.Files.EventFiles;
using Reliability.Files.Sheets;

namespace Reliability.Files.Mappings;

/// <summary>
/// An event rule put to work: it writes a row of ours out of a row of theirs, and the reader of our own sheets reads that.
/// So a mapped file is held to the very rules that our own sheets are held to.
/// </summary>
internal sealed class MappedEvent
{
    private const string KindColumn = "event";

    private static readonly string[] Private = ["note", "actor_id"];

    private readonly EventRule _rule;
    private readonly CellFormats _formats;
    private readonly IRowReader _reader;
    private readonly IReadOnlyDictionary<string, CellKind> _cells;
    private readonly List<FieldRule> _fields;

    /// <summary>Prepares a rule.</summary>
    /// <param name="rule">The rule.</param>
    /// <param name="mapping">The mapping it is part of.</param>
    /// <param name="reader">Reads rows in our own columns, of the rule's kind.</param>
    public MappedEvent(EventRule rule, Mapping mapping, IRowReader reader)
    {
        (_rule, _formats, _reader) = (rule, mapping.Formats, reader);
        _cells = Probe([]).Asked;
        _fields =
        [
            .. rule.Fields,
            .. mapping.Constants.Where(pair => Knows(pair.Key) && !rule.Fields.Any(field => field.Field == pair.Key))
                .Select(pair => FieldRule.Constant($"constants.{Quoted.Plain(pair.Key)}", pair.Key, pair.Value)),
        ];
    }

    /// <summary>The columns that its fields come from.</summary>
    public ColumnNames Columns => field ??= new ColumnNames(_fields);

    /// <summary>The rule.</summary>
    public EventRule Rule => _rule;

    /// <summary>Whether events of this kind have a field.</summary>
    public bool Knows(string field) => field != KindColumn && _cells.ContainsKey(field);

    /// <summary>What is wrong with the rule, whatever a row may hold.</summary>
    public IEnumerable<FileProblem> Check()
    {
        foreach (FieldRule field in _rule.Fields.Where(field => !Knows(field.Field)))
        {
            string[] known = [.. _cells.Keys.Where(name => name != KindColumn)];
            yield return new FileProblem(
                field.Path, $"{_rule.Kind} has no field of that name{NearestNames.Hint(field.Field, known)} It may have: {string.Join(", ", known.Order(StringComparer.Ordinal))}");
        }
        foreach (FieldRule field in _fields.Where(field => Knows(field.Field)))
        {
            foreach (FileProblem problem in CheckValues(field))
                yield return problem;
        }
        // A field that has to be there and comes from nowhere would spoil every row.
        foreach (FileProblem problem in Probe([]).Problems)
        {
            if (problem.Rule.StartsWith(RowFields.ValueNeeded, StringComparison.Ordinal) && !_fields.Exists(field => field.Field == problem.Field)
                && !(problem.Field == "serial_number" && _fields.Exists(field => field.Field == "asset_number")))
            {
                yield return new FileProblem($"{_rule.Path}.fields", $"needs {problem.Field}, here or among the constants");
            }
        }
    }

    /// <summary>Reads a row; null where the row does not say this event.</summary>
    /// <param name="row">The row.</param>
    /// <param name="tally">Gets codes that are not known.</param>
    public FileRow? Read(CsvRow row, MappingTally tally)
    {
        if (!_rule.When.All(condition => condition.Holds(row)))
            return null;
        Dictionary<string, string> values = new() { [KindColumn] = _rule.Kind };
        List<FileProblem> problems = [];
        foreach (FieldRule field in _fields)
        {
            if (Value(field, row, tally, problems) is { Length: > 0 } value)
                values[field.Field] = value;
        }
        if (problems.Count > 0)
            return new FileRow(row.Line, row.Original, [], problems);
        if (_rule.Kind == EventRule.Life)
            values.Remove(KindColumn);
        FileRow read = _reader.Read(row with { Values = values });
        return read.Problems.Count == 0 ? read with { Columns = [.. read.Events.Select(_ => Columns)] } : read with { Problems = [.. read.Problems.Select(InTheirWords)] };
    }

    private string? Value(FieldRule field, CsvRow row, MappingTally tally, List<FileProblem> problems)
    {
        if (field.Value is not null)
            return field.Value;
        string text = string.Join(' ', field.Columns.Select(column => row.Values.GetValueOrDefault(column, "")).Where(cell => cell.Length > 0));
        if (field.Table is ValueTable table)
        {
            if (table.Values.TryGetValue(text, out string? ours))
                return ours;
            if (text.Length == 0)
                return null;
            // Codes of people are told by the row alone, which is its poster's own.
            bool isPrivate = Private.Contains(field.Field);
            tally.Unknown(new UnknownCode(string.Join(", ", field.Columns), table.Name, isPrivate ? "(not shown)" : Quoted.Plain(text)));
            problems.Add(new FileProblem(Origin(field), isPrivate ? $"is not in tables.{table.Name}" : $"code {Quoted.Of(text)} is not in tables.{table.Name}"));
            return null;
        }
        if (text.Length == 0)
            return null;
        string problem = "";
        string? value = _cells[field.Field] switch
        {
            CellKind.Number => _formats.Number(text, out problem),
            CellKind.Time => _formats.Time(text, out problem),
            _ => text,
        };
        if (value is null)
            problems.Add(new FileProblem(Origin(field), problem));
        return field.Prefix + value + field.Suffix;
    }

    /// <summary>Holds the values that a mapping itself gives to the reader.</summary>
    private IEnumerable<FileProblem> CheckValues(FieldRule field)
    {
        IEnumerable<(string Path, string Value)> given = field.Value is string constant ? [(field.Path + (field.Path.StartsWith("constants.", StringComparison.Ordinal) ? "" : ".value"), constant)]
            : field.Table is ValueTable table ? table.Values.Where(pair => pair.Value is not null).Select(pair => (table.PathOf(pair.Key), pair.Value!))
            : [];
        foreach ((string path, string value) in given)
        {
            foreach (FileProblem problem in Probe(new Dictionary<string, string> { [field.Field] = value }).Problems.Where(problem => problem.Field == field.Field))
                yield return new FileProblem(path, $"{problem.Rule} (as {field.Field})");
        }
    }

    private RowFields Probe(Dictionary<string, string> values)
    {
        if (_rule.Kind != EventRule.Life)
            values[KindColumn] = _rule.Kind;
        // Which fields a replacement has depends on what it puts in place.
        if (_rule.Fields.FirstOrDefault(field => field.Field == EventColumns.RightEvent)?.Value is string right)
            values.TryAdd(EventColumns.RightEvent, right);
        CsvRow row = new(0, "", values, null);
        RowFields fields = new(row);
        _reader.Read(row, fields);
        return fields;
    }

    /// <summary>A problem with one of our fields, told by the column it came from.</summary>
    private FileProblem InTheirWords(FileProblem problem) =>
        _fields.Find(field => field.Field == problem.Field) is FieldRule { Columns.Count: > 0 } rule
            ? problem with { Field = Origin(rule) }
            : problem with { Field = problem.Field.Length == 0 ? "" : $"{_rule.Kind}.{problem.Field}" };

    private static string Origin(FieldRule field) =>
        $"{string.Join(" ", field.Columns.Select(Quoted.Plain))} ({field.Field})";
}
