using Reliability.History.Events;

namespace Reliability.History.Catalogue;

/// <summary>The recommended maximum of run-hours and the warranty, for a condition and a refurbisher.</summary>
public sealed record RatedLife
{
    /// <summary>The conditions it holds for.</summary>
    public ConditionClass ConditionClass { get; init; }

    /// <summary>The refurbisher it holds for; null for all.</summary>
    public string? Refurbisher { get; init; }

    /// <summary>Recommended maximum, run-hours; null when there is none.</summary>
    public double? RatedHours { get; init; }

    /// <summary>Warranty, run-hours; null when there is none.</summary>
    public double? WarrantyHours { get; init; }

    /// <summary>Warranty, days; null when there is none.</summary>
    public int? WarrantyDays { get; init; }

    internal int Specificity => (Refurbisher is null ? 0 : 2) + (ConditionClass == ConditionClass.Any ? 0 : 1);

    internal bool Matches(Condition condition) =>
        (Refurbisher is null || Refurbisher == condition.Refurbisher)
        && ConditionClass switch
        {
            ConditionClass.New => condition.RefurbishmentCount == 0,
            ConditionClass.Refurbished => condition.RefurbishmentCount > 0,
            _ => true,
        };
}
