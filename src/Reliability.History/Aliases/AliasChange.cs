namespace Reliability.History.Aliases;

/// <summary>An alias created or deleted.</summary>
/// <param name="Kind">What it is about.</param>
/// <param name="Alternate">The name that stands, or stood, for another.</param>
/// <param name="Primary">The name it stands for; null when the alias was deleted.</param>
/// <param name="Position">Its position in the log: later changes have higher ones.</param>
/// <param name="RecordTime">When it was recorded, UTC.</param>
public sealed record AliasChange(
    AliasKind Kind, string Alternate, string? Primary, long Position, DateTimeOffset RecordTime);
