using System.Globalization;
using System.Text.RegularExpressions;
using Google.Protobuf.Collections;
using Reliability.Files.EventFiles;
using Reliability.V1;

namespace Reliability.Files.Mappings;

/// <summary>The columns of another system's sheet that the fields of one event came from, to tell of what was refused.</summary>
public sealed partial class ColumnNames
{
    // Where a field of the contract and the column of our own sheets, which a mapping writes, have different names.
    private static readonly Dictionary<string, string> Renamed = new()
    {
        ["run_hours_read.readings.hours"] = "reading_hours",
        ["output_measured.fraction"] = "output_fraction",
        ["output_measured.measured_value"] = "output_value",
        ["removed.reason"] = "removal_reason",
        ["retired.reason"] = "retirement_reason",
        ["life_reported.start_time"] = "start_date",
        ["life_reported.end_time"] = "end_date",
        ["replaced.event.occur_time"] = EventColumns.RightTime,
    };

    private readonly Dictionary<string, string> _columns;

    /// <summary>Takes the columns of each field that comes from some.</summary>
    internal ColumnNames(IEnumerable<FieldRule> fields) => _columns = fields.Where(field => field.Columns.Count > 0)
        .ToDictionary(field => field.Field, field => string.Join(" ", field.Columns.Select(Quoted.Plain)));

    /// <summary>Names a field together with its columns; without them when it comes from none.</summary>
    /// <param name="path">The field within the event, such as <c>failed.reading_hours</c>.</param>
    /// <param name="said">The event.</param>
    public string Named(string path, ModuleEvent said)
    {
        ArgumentNullException.ThrowIfNull(path);
        ArgumentNullException.ThrowIfNull(said);
        return OurColumn(path, said) is { } ours && _columns.TryGetValue(ours, out string? columns) ? $"{columns} ({path})" : path;
    }

    private static string? OurColumn(string path, ModuleEvent said)
    {
        const string Right = "replaced.event.";
        string plain = Index().Replace(path, "");
        if (Renamed.TryGetValue(plain, out string? renamed))
            return renamed;
        if (path.StartsWith(Right, StringComparison.Ordinal) && said.Replaced?.Event is { } right)
            return OurColumn(path[Right.Length..], right);
        return plain.Contains(".identifiers", StringComparison.Ordinal) ? IdentifierColumn(path, said) : plain[(plain.LastIndexOf('.') + 1)..];
    }

    private static string? IdentifierColumn(string path, ModuleEvent said)
    {
        RepeatedField<Identifier> identifiers = said.LifeReported?.Identifiers ?? said.Registered?.Identifiers ?? [];
        return Index().Match(path) is { Success: true } found
            && int.TryParse(found.Groups[1].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture, out int at) && at < identifiers.Count
            ? SheetEvent.IdentifierColumns.FirstOrDefault(column => column.Kind == identifiers[at].Kind).Column
            : null;
    }

    [GeneratedRegex(@"\[([0-9]+)\]", RegexOptions.CultureInvariant)]
    private static partial Regex Index();
}
