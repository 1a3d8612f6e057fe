using Reliability.History.Catalogue;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// Lives selected by attributes fixed at their start, never by how or when they ended: selecting on the end would bias
/// every estimate. Empty filters select all; values within a filter are joined by OR, filters by AND.
/// </summary>
public sealed record CohortSelection
{
    /// <summary>Every life there is.</summary>
    public static CohortSelection All { get; } = new();

    /// <summary>Ids of module models.</summary>
    public IReadOnlyList<string> ModelIds { get; init; } = [];

    /// <summary>New, refurbished, or both.</summary>
    public ConditionClass ConditionClass { get; init; }

    /// <summary>Refurbishment numbers: 1 for refurbished once.</summary>
    public IReadOnlyList<int> RefurbishmentCounts { get; init; } = [];

    /// <summary>Refurbishers.</summary>
    public IReadOnlyList<string> Refurbishers { get; init; } = [];

    /// <summary>Sites of the first install.</summary>
    public IReadOnlyList<string> Sites { get; init; } = [];

    /// <summary>Host device models of the first install.</summary>
    public IReadOnlyList<string> HostModels { get; init; } = [];

    /// <summary>Makers' lots.</summary>
    public IReadOnlyList<string> Lots { get; init; } = [];

    /// <summary>Lives that began then or later, UTC.</summary>
    public DateTimeOffset? EarliestStartTime { get; init; }

    /// <summary>Lives that began before then, UTC.</summary>
    public DateTimeOffset? LatestStartTime { get; init; }

    /// <summary>How the lives are derived: cut-off, failure mode, what removals say. The lives handed over are expected to
    /// have been derived so.</summary>
    public DerivationOptions Derivation { get; init; } = DerivationOptions.Default;

    /// <summary>Whether lives that rest on a left-out reading are taken in.</summary>
    public bool IncludeFlagged { get; init; }

    /// <summary>Whether a life belongs to the cohort, excluded or not.</summary>
    /// <param name="life">The life.</param>
    /// <returns>True when every filter lets it through.</returns>
    public bool Matches(Life life)
    {
        ArgumentNullException.ThrowIfNull(life);
        return OneOf(ModelIds, life.ModelId)
            && ConditionClass switch
            {
                ConditionClass.New => life.Condition.RefurbishmentCount == 0,
                ConditionClass.Refurbished => life.Condition.RefurbishmentCount > 0,
                _ => true,
            }
            && (RefurbishmentCounts.Count == 0 || RefurbishmentCounts.Contains(life.Condition.RefurbishmentCount))
            && OneOf(Refurbishers, life.Condition.Refurbisher)
            && OneOf(Sites, life.Site)
            && OneOf(HostModels, life.HostModel)
            && OneOf(Lots, life.Lot)
            && (EarliestStartTime is not { } earliest || life.StartTime >= earliest)
            && (LatestStartTime is not { } latest || life.StartTime < latest);
    }

    private static bool OneOf(IReadOnlyList<string> wanted, string? value) =>
        wanted.Count == 0 || (value is not null && wanted.Contains(value, StringComparer.Ordinal));
}
