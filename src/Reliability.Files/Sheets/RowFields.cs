using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Reliability.Files.Times;
using Enum = System.Enum;

namespace Reliability.Files.Sheets;

/// <summary>
/// Reads the cells of a row into typed values and keeps what is wrong with them. Whether a value makes sense is for the
/// service to say; here it only has to be one.
/// </summary>
public sealed class RowFields(CsvRow row)
{
    /// <summary>The rule that an empty cell breaks where a value has to be.</summary>
    internal const string ValueNeeded = "a value is needed";

    private readonly List<FileProblem> _problems = [];
    private readonly Dictionary<string, CellKind> _asked = [];

    /// <summary>What is wrong, in the order it was found; of a row that is wrong as a whole that alone.</summary>
    public IReadOnlyList<FileProblem> Problems => row.Problem is null ? _problems : [new FileProblem("", row.Problem)];

    /// <summary>The columns that have a value which was not asked for.</summary>
    public IEnumerable<string> Unused => row.Values.Keys.Where(column => !_asked.ContainsKey(column));

    /// <summary>The columns that were asked for, filled or not.</summary>
    internal IReadOnlyDictionary<string, CellKind> Asked => _asked;

    /// <summary>Text; null when the cell is empty.</summary>
    public string? Text(string column) => Cell(column, CellKind.Text);

    /// <summary>Text that has to be there.</summary>
    public string Needed(string column) => Needed(column, CellKind.Text);

    private string Needed(string column, CellKind kind)
    {
        string? text = Cell(column, kind);
        if (text is null)
            Problem(column, ValueNeeded);
        return text ?? "";
    }

    /// <summary>A number; null when the cell is empty or has none.</summary>
    public double? Number(string column)
    {
        if (Cell(column, CellKind.Number) is not string text)
            return null;
        if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double number) && double.IsFinite(number))
            return number;
        Problem(column, $"{Quoted.Of(text)} is not a number{(text.Contains(',') ? "; decimals are set apart by a point, thousands by nothing" : "")}");
        return null;
    }

    /// <summary>A number that has to be there.</summary>
    public double NeededNumber(string column)
    {
        if (Needed(column, CellKind.Number).Length == 0)
            return 0;
        return Number(column) ?? 0;
    }

    /// <summary>A whole number; null when the cell is empty or has none.</summary>
    public int? Whole(string column)
    {
        if (Cell(column, CellKind.Number) is not string text)
            return null;
        if (int.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out int number))
            return number;
        Problem(column, $"{Quoted.Of(text)} is not a whole number");
        return null;
    }

    /// <summary>Yes or no; null when the cell is empty or says neither.</summary>
    public bool? YesNo(string column)
    {
        switch (Text(column)?.ToUpperInvariant())
        {
            case null:
                return null;
            case "YES" or "TRUE":
                return true;
            case "NO" or "FALSE":
                return false;
            default:
                Problem(column, $"{Quoted.Of(Text(column) ?? "")} is neither yes nor no");
                return null;
        }
    }

    /// <summary>One of the words of an enumeration; null when the cell is empty or has another.</summary>
    public T? Word<T>(string column)
        where T : struct, Enum
    {
        if (Text(column) is not string text)
            return null;
        if (ContractWords.TryParse(text, out T value))
            return value;
        Problem(column, $"{Quoted.Of(text)} is none of: {string.Join(", ", ContractWords.Of<T>())}{NearestNames.Hint(text, ContractWords.Of<T>())}");
        return null;
    }

    /// <summary>A time; null when the cell is empty or has none.</summary>
    /// <param name="column">The column.</param>
    /// <param name="zone">The zone in which a day or a time without offset is meant.</param>
    /// <param name="isDay">Set when the cell has a day alone; else left as it is.</param>
    public Timestamp? Time(string column, ZoneName zone, ref bool isDay)
    {
        if (Cell(column, CellKind.Time) is not string text)
            return null;
        if (zone.TryRead(text, out TimeValue value, out string problem))
        {
            isDay |= value.IsDay;
            return value.Time;
        }
        Problem(column, problem);
        return null;
    }

    /// <summary>The start of a day, or an instant; null when the cell is empty or has neither.</summary>
    public Timestamp? From(string column, ZoneName zone)
    {
        if (Cell(column, CellKind.Time) is not string text)
            return null;
        if (zone.TryReadFrom(text, out Timestamp time, out string problem))
            return time;
        Problem(column, problem);
        return null;
    }

    /// <summary>A time that has to be there.</summary>
    /// <param name="column">The column.</param>
    /// <param name="zone">The zone in which a day or a time without offset is meant.</param>
    /// <param name="isDay">Set when the cell has a day alone; else left as it is.</param>
    public Timestamp? NeededTime(string column, ZoneName zone, ref bool isDay) =>
        Needed(column, CellKind.Time).Length == 0 ? null : Time(column, zone, ref isDay);

    /// <summary>Notes what is wrong with a cell.</summary>
    public void Problem(string column, string problem) => _problems.Add(new FileProblem(column, problem));

    /// <summary>Notes the filled columns that nobody asked for.</summary>
    public void RefuseUnused(string kind)
    {
        foreach (string column in Unused)
            Problem(column, $"{kind} has no such value; leave it empty");
    }

    private string? Cell(string column, CellKind kind)
    {
        string? text = row.Values.GetValueOrDefault(column);
        if (_asked.TryAdd(column, kind) && text is ['=', ..])
            Problem(column, "begins with =, as a formula does; give the value itself"); // Unquoted: it may be a note.
        return text;
    }
}
