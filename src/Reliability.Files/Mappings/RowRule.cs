namespace Reliability.Files.Mappings;

/// <summary>What becomes of rows of one kind. The first rule whose conditions hold takes a row.</summary>
/// <param name="Path">Where the rule stands in the mapping.</param>
/// <param name="When">What must hold for a row to be of this kind.</param>
/// <param name="Ignore">Why such rows are left out; null where they say events.</param>
/// <param name="Events">The events that such a row says.</param>
internal sealed record RowRule(string Path, IReadOnlyList<CellCondition> When, string? Ignore, IReadOnlyList<EventRule> Events);
