namespace Reliability.Files.Mappings;

/// <summary>Where the value of one of our fields comes from.</summary>
/// <param name="Path">Where the rule stands in the mapping.</param>
/// <param name="Field">Our field, spelt as the column of our own sheets.</param>
/// <param name="Columns">The file's columns; the filled ones are joined by a space. Empty where the value is given.</param>
/// <param name="Value">The value itself, where it is given.</param>
/// <param name="Table">What turns the file's codes into our words; null for none.</param>
/// <param name="Prefix">Goes before a value that is not empty.</param>
/// <param name="Suffix">Goes behind it.</param>
internal sealed record FieldRule(
    string Path, string Field, IReadOnlyList<string> Columns, string? Value, ValueTable? Table, string Prefix, string Suffix)
{
    /// <summary>A field whose value is the same for all rows.</summary>
    public static FieldRule Constant(string path, string field, string value) => new(path, field, [], value, null, "", "");
}
