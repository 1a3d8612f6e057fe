using Reliability.Files.Sheets;

namespace Reliability.Files.Mappings;

/// <summary>What the cell of a column must hold, or must not, for a rule to apply. An empty cell holds the empty text.</summary>
/// <param name="Path">Where it stands in the mapping.</param>
/// <param name="Column">The column.</param>
/// <param name="Values">The values, as the file spells them.</param>
/// <param name="Not">Whether it must hold none of them.</param>
internal sealed record CellCondition(string Path, string Column, IReadOnlySet<string> Values, bool Not)
{
    /// <summary>Whether a row meets it.</summary>
    public bool Holds(CsvRow row) => Values.Contains(row.Values.GetValueOrDefault(Column, "")) != Not;
}
