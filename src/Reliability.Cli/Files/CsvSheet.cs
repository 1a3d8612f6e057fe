using System.Text;
using CsvHelper;
using Reliability.Cli.Terminals;

namespace Reliability.Cli.Files;

/// <summary>
/// A sheet of comma-separated values (RFC 4180) with a header, a row a line. Lines that begin with # may stand above the
/// header. Column names are read whatever their case, with spaces or hyphens for underscores.
/// </summary>
internal sealed class CsvSheet : IDisposable
{
    /// <summary>Columns that a file of refusals has in front; they are skipped when it is posted again.</summary>
    public static readonly IReadOnlyList<string> RefusalColumns = ["refused_line", "refused_reason"];

    private readonly CsvReader _reader;
    private readonly int _linesAbove;
    private long _malformedLine;

    private CsvSheet(string path)
    {
        Path = path;
        StreamReader text = new(path);
        _linesAbove = SkipComments(text);
        _reader = CsvReader.Create(text, new CsvReaderOptions
        {
            Separator = ',',
            HasHeader = false,
            TrackLineNumbers = true,
            // So an unclosed quotation mark spoils its own row only.
            AllowLineBreaksInQuotes = false,
            OnMalformedRecord = record => _malformedLine = record.Reason == CsvMalformedReason.StrayQuote ? 0 : record.LineNumber,
        }, false);
        if (!_reader.Read() || _malformedLine > 0)
        {
            _reader.Dispose();
            throw new UsageException($"{path}: line {_linesAbove + 1}: there is no header line.");
        }
        HeaderLine = _linesAbove + _reader.LineNumber;
        HeaderText = Encoding.UTF8.GetString(_reader.RawRecord);
        Columns = [.. Enumerable.Range(0, _reader.FieldCount).Select(i => ColumnName(_reader.GetString(i)))];
    }

    /// <summary>The file.</summary>
    public string Path { get; }

    /// <summary>The line of the header.</summary>
    public long HeaderLine { get; }

    /// <summary>The header as it stands in the file.</summary>
    public string HeaderText { get; }

    /// <summary>The columns in order.</summary>
    public IReadOnlyList<string> Columns { get; }

    /// <summary>Opens a sheet and reads its header.</summary>
    /// <exception cref="UsageException">There is no header, or it has a name twice or an empty one.</exception>
    public static CsvSheet Open(TextFile file)
    {
        CsvSheet sheet = new(file.Path);
        string? twice = sheet.Columns.GroupBy(name => name).FirstOrDefault(group => group.Count() > 1)?.Key;
        if (twice is null && !sheet.Columns.Contains(""))
            return sheet;
        sheet.Dispose();
        throw sheet.HeaderProblem(sheet.Columns.Contains("") ? "a column has no name" : $"the column {twice} stands there twice");
    }

    /// <summary>A sentence to add to a problem of the header when its columns are not set apart by commas; else empty.</summary>
    public string SeparatorHint => Columns.Count == 1 && HeaderText.AsSpan().ContainsAny(';', '\t')
        ? " The values seem to be set apart by another sign than a comma." : "";

    /// <summary>Checks that columns which are needed are there, and that all are known.</summary>
    /// <exception cref="UsageException">One is missing or not known.</exception>
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
            throw HeaderProblem($"{kind} has no column {string.Join(", ", unknown)}. It may have: "
                + string.Join(", ", known.Order(StringComparer.Ordinal)));
        }
    }

    /// <summary>Reads the rows, once.</summary>
    public IEnumerable<CsvRow> Rows()
    {
        while (_reader.Read())
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
                    values.Add(Columns[i], cell);
            }
            if (values.Count > 0 || problem is not null)
                yield return new CsvRow(_linesAbove + _reader.LineNumber, Encoding.UTF8.GetString(_reader.RawRecord), values, problem);
        }
    }

    /// <inheritdoc />
    public void Dispose() => _reader.Dispose();

    /// <summary>A problem with the header.</summary>
    public UsageException HeaderProblem(string problem) =>
        new($"{Path}: line {HeaderLine}: the header does not fit: {problem.TrimEnd('.')}. Nothing of the file was used.");

    private static int SkipComments(StreamReader reader)
    {
        int lines = 0;
        while (reader.Peek() is '#' or '\r' or '\n')
        {
            reader.ReadLine();
            lines++;
        }
        return lines;
    }

    private static string ColumnName(string cell) =>
        string.Join('_', cell.ToUpperInvariant().Split([' ', '_', '-', '\t', '\r', '\n'], StringSplitOptions.RemoveEmptyEntries)).ToLowerInvariant();
}
