using System.Globalization;
using System.Runtime.CompilerServices;
using Reliability.Cli.Answers;
using Reliability.Cli.Files;
using Reliability.Cli.Samples;
using Reliability.Cli.Terminals;
using Reliability.Files.Lines;
using Reliability.Files.Sheets;
using Reliability.V1;

namespace Reliability.Cli.Replacements;

/// <summary>
/// A sheet of positions for a question asked once: position, start_hours, end_hours and replacement_hours, numbers set apart by ";".
/// </summary>
internal static class PositionSheet
{
    private const int ProblemsShown = 20;

    private static readonly string[] Needed = ["end_hours", "replacement_hours"];
    private static readonly string[] Columns = ["position", "start_hours", .. Needed];

    /// <summary>Reads a sheet.</summary>
    /// <param name="path">The file.</param>
    /// <param name="rows">Gets where each position stands in the file.</param>
    /// <param name="cancellation">Stops reading.</param>
    /// <returns>The positions, and what looks odd but may be so.</returns>
    /// <exception cref="UsageException">The file cannot be used; the message names lines and columns.</exception>
    /// <exception cref="Reliability.Files.FileUnusableException">Its header does not fit.</exception>
    public static async Task<(IReadOnlyList<PositionHistory> Positions, IReadOnlyList<string> Notes)> ReadAsync(
        string path, SheetRows rows, CancellationToken cancellation)
    {
        SourceLines lines = new(TextFile.Check(path).Open(), path);
        await using ConfiguredAsyncDisposable closing = lines.ConfigureAwait(false);
        CsvSheet sheet = await CsvSheet.OpenAsync(lines, cancellation).ConfigureAwait(false);
        sheet.CheckColumns("a sheet of positions", Needed, Columns);
        List<PositionHistory> positions = [];
        List<string> problems = [];
        List<string> notes = [];
        List<long> numbers = [];
        Dictionary<string, long> seen = new(StringComparer.Ordinal);
        await foreach (CsvRow row in sheet.RowsAsync(cancellation).ConfigureAwait(false))
        {
            RowFields fields = new(row);
            PositionHistory position = Position(fields);
            positions.Add(position);
            numbers.Add(row.Line);
            if (position.Position.Length > 0 && !seen.TryAdd(position.Position, row.Line))
                fields.Problem("position", $"stands at line {seen[position.Position]} already: all that was seen at a position goes into one row");
            foreach (IGrouping<double, double> once in position.ReplacementHours.GroupBy(hours => hours).Where(once => once.Count() > 1))
                notes.Add($"{path}: line {row.Line}: {once.Count()} replacements at {NumberText.Of(once.Key)} h count as so many.");
            problems.AddRange(fields.Problems.Select(problem => $"{path}: line {row.Line}: {problem}"));
        }
        if (problems.Count > 0)
        {
            string rest = problems.Count > ProblemsShown ? $"\nand {problems.Count - ProblemsShown} more" : "";
            throw new UsageException(string.Join('\n', problems.Take(ProblemsShown)) + rest);
        }
        rows.Add("positions", path, numbers);
        return positions.Count > 0 ? (positions, notes) : throw new UsageException($"{path}: there are no rows below the header.");
    }

    private static PositionHistory Position(RowFields fields)
    {
        PositionHistory position = new()
        {
            Position = fields.Text("position") ?? "",
            StartHours = fields.Number("start_hours") ?? 0,
            EndHours = fields.NeededNumber("end_hours"),
        };
        foreach (string part in (fields.Text("replacement_hours") ?? "").Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            if (double.TryParse(part, NumberStyles.Float, CultureInfo.InvariantCulture, out double hours))
                position.ReplacementHours.Add(hours);
            else
                fields.Problem("replacement_hours", "must be numbers; several are set apart by \";\"");
        }
        if (position.ReplacementHours.Zip(position.ReplacementHours.Skip(1)).Any(pair => pair.Second < pair.First))
            fields.Problem("replacement_hours", "must not fall: they are hours of the position, which go on when a module is replaced");
        return position;
    }
}
