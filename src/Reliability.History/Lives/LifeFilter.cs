using Reliability.History.Aliases;
using Reliability.History.Catalogue;

namespace Reliability.History.Lives;

/// <summary>
/// Selects lives by attributes fixed at their start, never by how or when they ended: selecting on the end would bias every
/// estimate. Empty filters select all; values within a filter are joined by OR, filters by AND.
/// </summary>
public record LifeFilter
{
    /// <summary>Every life.</summary>
    public static LifeFilter All { get; } = new();

    /// <summary>Ids of modules.</summary>
    public IReadOnlyList<string> Modules { get; init; } = [];

    /// <summary>Ids of module models.</summary>
    public IReadOnlyList<string> Models { get; init; } = [];

    /// <summary>New, refurbished, or both.</summary>
    public ConditionClass ConditionClass { get; init; } = ConditionClass.Any;

    /// <summary>Refurbishment numbers: 0 for new, 1 for refurbished once.</summary>
    public IReadOnlyList<int> RefurbishmentCounts { get; init; } = [];

    /// <summary>Refurbishers.</summary>
    public IReadOnlyList<string> Refurbishers { get; init; } = [];

    /// <summary>Sites of the first install.</summary>
    public IReadOnlyList<string> Sites { get; init; } = [];

    /// <summary>Host device models of the first install.</summary>
    public IReadOnlyList<string> HostModels { get; init; } = [];

    /// <summary>Makers' lots.</summary>
    public IReadOnlyList<string> Lots { get; init; } = [];

    /// <summary>Lives that started then or later, UTC.</summary>
    public DateTimeOffset? EarliestStartTime { get; init; }

    /// <summary>Lives that started before then, UTC.</summary>
    public DateTimeOffset? LatestStartTime { get; init; }

    /// <summary>The same filter with primary names in the place of others: lives have no other names.</summary>
    /// <param name="aliases">Which names mean the same.</param>
    public LifeFilter Under(AliasTable aliases)
    {
        ArgumentNullException.ThrowIfNull(aliases);
        return this with
        {
            Modules = Primaries(AliasKind.Module, Modules),
            Sites = Primaries(AliasKind.Site, Sites),
            Refurbishers = Primaries(AliasKind.Refurbisher, Refurbishers),
            HostModels = Primaries(AliasKind.HostModel, HostModels),
        };

        IReadOnlyList<string> Primaries(AliasKind kind, IReadOnlyList<string> names) =>
            [.. names.Select(name => aliases.Primary(kind, name)).Distinct(StringComparer.Ordinal)];
    }

    /// <summary>Whether a life is selected. Says the same as the query over stored lives.</summary>
    /// <param name="life">The life, excluded or not.</param>
    /// <returns>True when every filter lets it through.</returns>
    public bool Matches(Life life)
    {
        ArgumentNullException.ThrowIfNull(life);
        return OneOf(Modules, life.ModuleId)
            && OneOf(Models, life.ModelId)
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

    private static bool OneOf(IReadOnlyList<string> asked, string? value) =>
        asked.Count == 0 || (value is not null && asked.Contains(value, StringComparer.Ordinal));
}
