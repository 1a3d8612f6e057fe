using Reliability.Files.EventFiles;
using Reliability.Files.Lines;
using Reliability.Files.Sheets;
using Reliability.V1;

namespace Reliability.Files.Mappings;

/// <summary>A sheet of another system, read through a mapping. Columns that the mapping does not name are passed over.</summary>
internal sealed class MappedFile : IEventFile
{
    private static readonly IReadOnlyList<string> OurFields = [.. EventRowReader.KnownColumns.Union(LifeRowReader.KnownColumns)];

    private readonly CsvSheet _sheet;
    private readonly List<(RowRule Rule, List<MappedEvent> Events)> _rules;
    private readonly MappingTally _tally = new();

    private MappedFile(CsvSheet sheet, List<(RowRule Rule, List<MappedEvent> Events)> rules) => (_sheet, _rules) = (sheet, rules);

    /// <inheritdoc />
    public RefusalLayout Refusals => RefusalLayout.Sheet(_sheet.HeaderText, _sheet.Separator, _sheet.TextEncoding);

    /// <inheritdoc />
    public MappingTally? Mapping => _tally;

    /// <summary>Opens a sheet.</summary>
    /// <param name="content">Its bytes, which the file owns from now on.</param>
    /// <param name="name">What its user calls it.</param>
    /// <param name="mapping">How it is read.</param>
    /// <param name="defaults">What is said for all rows.</param>
    /// <param name="cancellation">Ends the opening.</param>
    /// <exception cref="FileUnusableException">The mapping is wrong, or does not fit the sheet.</exception>
    public static async Task<MappedFile> OpenAsync(
        Stream content, string name, Mapping mapping, FileDefaults defaults, CancellationToken cancellation)
    {
        ContentIds ids = new();
        EventRowReader events = new(defaults, ids);
        LifeRowReader lives = new(defaults, ids);
        // Checking reads rows without ids, which must not use up their numbers.
        List<(RowRule Rule, List<MappedEvent> Events)> rules =
        [
            .. mapping.Rows.Select(row => (row, row.Events.Select(rule =>
                new MappedEvent(rule, mapping, rule.Kind == EventRule.Life ? lives : events)).ToList())),
        ];
        List<FileProblem> problems = [.. Check(mapping, rules)];
        ids.Forget();
        if (problems.Count > 0)
            throw new FileUnusableException(mapping.Name, problems);
        SourceLines lines = new(content, name, mapping.Encoding);
        CsvSheet sheet = await CsvSheet.OpenAsync(lines, mapping.Delimiter, cancellation).ConfigureAwait(false);
        problems.AddRange(CheckColumns(mapping, sheet));
        return problems.Count == 0 ? new MappedFile(sheet, rules) : throw new FileUnusableException(mapping.Name, problems);
    }

    /// <inheritdoc />
    public IAsyncEnumerable<FileRow> RowsAsync(CancellationToken cancellation = default) =>
        _sheet.RowsAsync(cancellation).Select(Read);

    /// <inheritdoc />
    public ValueTask DisposeAsync() => _sheet.DisposeAsync();

    private static IEnumerable<FileProblem> Check(Mapping mapping, List<(RowRule Rule, List<MappedEvent> Events)> rules)
    {
        IEnumerable<FileProblem> inEvents = rules.SelectMany(rule => rule.Events).SelectMany(said => said.Check());
        IEnumerable<FileProblem> inConstants = mapping.Constants.Keys
            .Where(name => !rules.Exists(rule => rule.Events.Exists(said => said.Knows(name))))
            .Select(name => new FileProblem(
                $"constants.{Quoted.Plain(name)}",
                $"no event of the mapping has a field of that name{NearestNames.Hint(name, OurFields.Where(known => known != name))}"));
        IEnumerable<FileProblem> inIds = rules.SelectMany(rule => rule.Events
            .SelectMany(said => said.Rule.Fields.Where(field => field.Field == "event_id"))
            .GroupBy(field => (string.Join('\n', field.Columns), field.Prefix, field.Suffix))
            .SelectMany(same => same.Skip(1))
            .Select(field => new FileProblem(field.Path, "gives two events of a row the same id; tell them apart by a suffix")));
        // A constant is checked with every event that takes it: told once.
        return inEvents.Concat(inConstants).Concat(inIds).Distinct();
    }

    private static IEnumerable<FileProblem> CheckColumns(Mapping mapping, CsvSheet sheet)
    {
        IEnumerable<(string Path, string Column)> used = mapping.Rows.SelectMany(row => Conditions(row.When)
            .Concat(row.Events.SelectMany(said => Conditions(said.When)
                .Concat(said.Fields.SelectMany(field => field.Columns.Select(column => (field.Path, column)))))));
        foreach ((string path, string column) in used)
        {
            int count = sheet.Columns.Count(name => name == column);
            if (count == 0)
                yield return new FileProblem(path, $"the file has no column {Quoted.Of(column)}{NearestNames.Hint(column, sheet.Columns)}{sheet.SeparatorHint}");
            else if (count > 1)
                yield return new FileProblem(path, $"the file has the column {Quoted.Of(column)} {count} times");
        }

        static IEnumerable<(string Path, string Column)> Conditions(IEnumerable<CellCondition> when) =>
            when.Select(condition => (condition.Path, condition.Column));
    }

    private FileRow Read(CsvRow row)
    {
        if (row.Problem is string problem)
            return new FileRow(row.Line, row.Original, [], [new FileProblem("", problem)]);
        int taking = _rules.FindIndex(candidate => candidate.Rule.When.All(condition => condition.Holds(row)));
        if (taking < 0)
            return NoRule(row);
        (RowRule rule, List<MappedEvent> events) = _rules[taking];
        if (rule.Ignore is string reason)
        {
            _tally.Ignore(reason);
            return new FileRow(row.Line, row.Original, [], [], reason);
        }
        List<FileRow> said = [.. events.Select(candidate => candidate.Read(row, _tally)).OfType<FileRow>()];
        if (said.Count == 0)
            return new FileRow(row.Line, row.Original, [], [new FileProblem(rule.Path, "the rule takes the row, but none of its events applies")]);
        List<FileProblem> problems = [.. said.SelectMany(part => part.Problems).Distinct()];
        // A row is posted whole or not at all: half a work order would tell something that did not happen.
        IReadOnlyList<ModuleEvent> all = problems.Count > 0 ? [] : [.. said.SelectMany(part => part.Events)];
        return new FileRow(row.Line, row.Original, all, problems, Columns: [.. said.SelectMany(part => part.Columns ?? [])]);
    }

    private FileRow NoRule(CsvRow row)
    {
        string[] columns = [.. _rules.SelectMany(rule => rule.Rule.When).Select(condition => condition.Column).Distinct()];
        foreach (string column in columns.Take(1))
            _tally.Unknown(new UnknownCode(column, "", Quoted.Plain(row.Values.GetValueOrDefault(column, ""))));
        string cells = string.Join(", ", columns.Select(column => $"{Quoted.Plain(column)} = {Quoted.Of(row.Values.GetValueOrDefault(column, ""))}"));
        return new FileRow(row.Line, row.Original, [], [new FileProblem("rows", $"no rule of the mapping takes the row: {cells}")]);
    }
}
