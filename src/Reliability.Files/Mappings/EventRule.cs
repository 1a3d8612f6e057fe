namespace Reliability.Files.Mappings;

/// <summary>An event that a row says.</summary>
/// <param name="Path">Where the rule stands in the mapping.</param>
/// <param name="Kind">The kind of event, spelt as in our own sheets; <see cref="Life"/> for a life reported whole.</param>
/// <param name="When">What must hold for the row to say it.</param>
/// <param name="Fields">Where its values come from.</param>
internal sealed record EventRule(string Path, string Kind, IReadOnlyList<CellCondition> When, IReadOnlyList<FieldRule> Fields)
{
    /// <summary>The kind that a row of a sheet of lives has.</summary>
    public const string Life = "life";
}
