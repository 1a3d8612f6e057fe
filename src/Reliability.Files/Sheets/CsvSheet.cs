using System.Runtime.CompilerServices;
using System.Text;
using CsvHelper;
using Reliability.Files.Lines;

namespace Reliability.Files.Sheets;

/// <summary>
/// A sheet of separated values (RFC 4180) with a header, a row a line. Empty lines and lines that begin with # may stand
/// above the header.
/// </summary>
public sealed class CsvSheet : IAsyncDisposable
{
    /// <summary>Columns that a file of refusals has in front; they are skipped when it is posted again.</summary>
    public static readonly IReadOnlyList<string> RefusalColumns = ["refused_line", "refused_reason"];

    private readonly SourceLines _lines;
    private readonly LineStream _stream;
    private readonly CsvReader _reader;
    private readonly long _linesAbove;
    private readonly bool _ofRefusals;
    private long _malformedLine;

    private CsvSheet(SourceLines lines, SourceLine header, char separator)
    {
        _lines = lines;
        _linesAbove = header.Number - 1;
        Separator = separator;
        string text = Encoding.UTF8.GetString(header.Text.Span);
        _ofRefusals = text.StartsWith($"{string.Join(separator, RefusalColumns)}{separator}", StringComparison.Ordinal);
        HeaderText = Own(text);
        _stream = new LineStream(lines, Encoding.UTF8.GetBytes(text));
        _reader = CsvReader.Create(
            _stream,
            new CsvReaderOptions
            {
                Separator = separator,
                HasHeader = false,
                TrackLineNumbers = true,
                // So an unclosed quotation mark spoils its own row only.
                AllowLineBreaksInQuotes = false,
                OnMalformedRecord = record => _malformedLine = record.Reason == CsvMalformedReason.StrayQuote ? 0 : record.LineNumber,
            },
            leaveOpen: false);
    }

    /// <summary>What its user calls the file.</summary>
    public string File => _lines.File;

    /// <summary>How its text is stored.</summary>
    public TextEncoding TextEncoding => _lines.Encoding;

    /// <summary>What sets its values apart.</summary>
    public char Separator { get; }

    /// <summary>The line of the header.</summary>
    public long HeaderLine => _linesAbove + 1;

    /// <summary>The header as it stands in the file; of a file of refusals that of the file before it.</summary>
    public string HeaderText { get; }

    /// <summary>The columns in order, as the sheet spells them.</summary>
    public IReadOnlyList<string> Columns { get; private set; } = [];

    /// <summary>A sentence to add to a problem of the header when its columns are set apart by another sign; else empty.</summary>
    public string SeparatorHint => Columns.Count == 1 && HeaderText.AsSpan().ContainsAny(",;\t|")
        ? $" The values seem to be set apart by another sign than {(Separator == ',' ? "a comma" : Quoted.Of(Separator.ToString()))}." : "";

    /// <summary>
    /// Opens a sheet whose columns are ours: they are read in any case, with spaces or hyphens for underscores.
    /// </summary>
    /// <param name="lines">The file, which the sheet owns from now on.</param>
    /// <param name="cancellation">Ends the reading.</param>
    /// <exception cref="FileUnusableException">There is no header, or it has a name twice or an empty one.</exception>
    public static async Task<CsvSheet> OpenAsync(SourceLines lines, CancellationToken cancellation)
    {
        CsvSheet sheet = await OpenAsync(lines, ',', cancellation).ConfigureAwait(false);
        sheet.Columns = [.. sheet.Columns.Select(ColumnName)];
        string? twice = sheet.Columns.GroupBy(name => name).FirstOrDefault(group => group.Count() > 1)?.Key;
        if (twice is null && !sheet.Columns.Contains(""))
            return sheet;
        throw sheet.HeaderProblem(sheet.Columns.Contains("") ? "a column has no name" : $"the column {Quoted.Plain(twice!)} stands there twice");
    }

    /// <summary>Opens a sheet with columns of any names, which are kept as they stand but for spaces around them.</summary>
    /// <param name="lines">The file, which the sheet owns from now on.</param>
    /// <param name="separator">What sets its values apart.</param>
    /// <param name="cancellation">Ends the reading.</param>
    /// <exception cref="FileUnusableException">There is no header.</exception>
    public static async Task<CsvSheet> OpenAsync(SourceLines lines, char separator, CancellationToken cancellation)
    {
        SourceLine header = await HeaderAsync(lines, cancellation).ConfigureAwait(false);
        CsvSheet sheet = new(lines, header, separator);
        if (!await sheet._reader.ReadAsync(cancellation).ConfigureAwait(false) || sheet._malformedLine > 0)
            throw new FileUnusableException(lines.File, new FileProblem(LineName(header.Number), "there is no header line"));
        int count = sheet._reader.FieldCount;
        if (count > FileLimits.MaxColumns)
            throw sheet.HeaderProblem($"it has {count:N0} columns, and {FileLimits.MaxColumns:N0} is the most");
        sheet.Columns = [.. Enumerable.Range(0, count).Select(i => sheet._reader.GetString(i).Trim())];
        return sheet;
    }

    /// <summary>Checks that columns which are needed are there, and that all are known.</summary>
    /// <param name="kind">What the sheet is, such as <c>a sheet of events</c>.</param>
    /// <param name="needed">The columns that have to be there.</param>
    /// <param name="known">Those that may be.</param>
    /// <exception cref="FileUnusableException">One is missing or not known.</exception>
    public void CheckColumns(string kind, IReadOnlyCollection<string> needed, IReadOnlyCollection<string> known)
    {
        List<string> missing = [.. needed.Except(Columns)];
        if (missing.Count > 0)
        {
            throw HeaderProblem($"{kind} needs the column{(missing.Count > 1 ? "s" : "")} {string.Join(", ", missing)}.{SeparatorHint}");
        }
        List<string> unknown = [.. Columns.Except(known).Except(RefusalColumns)];
        if (unknown.Count > 0)
        {
            string hint = unknown.Count == 1 ? NearestNames.Hint(unknown[0], known) : "";
            throw HeaderProblem($"{kind} has no column {string.Join(", ", unknown.Take(10).Select(Quoted.Plain))}"
                + (hint.Length > 0 ? hint : ".") + $" It may have: {string.Join(", ", known.Order(StringComparer.Ordinal))}");
        }
    }

    /// <summary>Reads the rows, once.</summary>
    /// <param name="cancellation">Ends the reading.</param>
    public async IAsyncEnumerable<CsvRow> RowsAsync([EnumeratorCancellation] CancellationToken cancellation = default)
    {
        while (await _reader.ReadAsync(cancellation).ConfigureAwait(false))
        {
            long line = _linesAbove + _reader.LineNumber;
            if (_stream.TryTakeUnusable(line, out (string Problem, string Text) unusable))
            {
                yield return new CsvRow(line, Own(unusable.Text), new Dictionary<string, string>(), unusable.Problem);
                continue;
            }
            CsvRow row = Row(line);
            if (row.Values.Count > 0 || row.Problem is not null)
                yield return row;
        }
    }

    /// <inheritdoc />
    public async ValueTask DisposeAsync()
    {
        _reader.Dispose();
        await _lines.DisposeAsync().ConfigureAwait(false);
    }

    /// <summary>A problem with the header.</summary>
    public FileUnusableException HeaderProblem(string problem) =>
        new(File, new FileProblem(LineName(HeaderLine), $"the header does not fit: {problem.TrimEnd('.')}. Nothing of the file was used."));

    private CsvRow Row(long line)
    {
        string? problem = _malformedLine == _reader.LineNumber
            ? "a quotation mark is out of place, or a value goes on over the end of the line"
            : _reader.FieldCount != Columns.Count ? $"the row has {_reader.FieldCount} values, the header {Columns.Count} columns"
            : null;
        Dictionary<string, string> values = [];
        for (int i = 0; problem is null && i < Columns.Count; i++)
        {
            string cell = _reader.GetString(i).Trim();
            if (cell.Length > 0 && !RefusalColumns.Contains(Columns[i]))
                values.TryAdd(Columns[i], cell);
        }
        return new CsvRow(line, Own(Encoding.UTF8.GetString(_reader.RawRecord)), values, problem);
    }

    /// <summary>A line without the columns that a file of refusals has in front, so that they never stand there twice.</summary>
    private string Own(string line)
    {
        int left = _ofRefusals ? RefusalColumns.Count : 0;
        bool quoted = false;
        for (int at = 0; left > 0 && at < line.Length; at++)
        {
            if (line[at] == '"')
                quoted = !quoted;
            else if (line[at] == Separator && !quoted && --left == 0)
                return line[(at + 1)..];
        }
        return line;
    }

    private static async Task<SourceLine> HeaderAsync(SourceLines lines, CancellationToken cancellation)
    {
        SourceLine? last = null;
        while (await lines.NextAsync(cancellation).ConfigureAwait(false) is SourceLine line && line.Number <= FileLimits.MaxLinesAbove)
        {
            if (line.Problem is string problem)
                throw new FileUnusableException(lines.File, new FileProblem(LineName(line.Number), $"{problem}."));
            if (line.Text.Span is not [] and not [(byte)'#', ..] && line.Text.Span.ContainsAnyExcept((byte)' ', (byte)'\t'))
                return line;
            last = line;
        }
        throw last is null
            ? new FileUnusableException(lines.File, new FileProblem("", "the file is empty."))
            : new FileUnusableException(lines.File, new FileProblem(LineName(last.Value.Number + 1), "there is no header line."));
    }

    private static string LineName(long line) => $"line {line}";

    private static string ColumnName(string cell) =>
        string.Join('_', cell.ToUpperInvariant().Split([' ', '_', '-', '\t', '\r', '\n'], StringSplitOptions.RemoveEmptyEntries)).ToLowerInvariant();
}
