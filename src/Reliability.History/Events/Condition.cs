namespace Reliability.History.Events;

/// <summary>New, or refurbished for the n-th time and by whom.</summary>
public sealed record Condition
{
    /// <summary>A module as it left its maker.</summary>
    public static Condition New { get; } = new();

    /// <summary>How many times the wearing part has been renewed; 0 for a new module.</summary>
    public int RefurbishmentCount { get; init; }

    /// <summary>Who renewed it last; null for a new module or when nobody knows.</summary>
    public string? Refurbisher { get; init; }

    /// <summary>The condition after the wearing part was renewed once more.</summary>
    /// <param name="refurbisher">Who renewed it; null when nobody knows.</param>
    public Condition RenewedBy(string? refurbisher) =>
        new() { RefurbishmentCount = RefurbishmentCount == int.MaxValue ? int.MaxValue : RefurbishmentCount + 1, Refurbisher = refurbisher };
}
