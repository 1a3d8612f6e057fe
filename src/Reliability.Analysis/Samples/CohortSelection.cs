using Reliability.History.Aliases;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>The lives of a cohort: which ones, and how they are derived from their records.</summary>
public sealed record CohortSelection : LifeFilter
{
    /// <summary>Every life there is.</summary>
    public static new CohortSelection All { get; } = new();

    /// <summary>How the lives are derived: cut-off, failure mode, what removals say. The lives handed over are expected to
    /// have been derived so.</summary>
    public DerivationOptions Derivation { get; init; } = DerivationOptions.Default;

    /// <summary>
    /// The record they are derived from is that of this instant: what was recorded later plays no part, UTC; null for all
    /// that is on record. The lives handed over are expected to be of it.
    /// </summary>
    public DateTimeOffset? AsOfRecordTime { get; init; }

    /// <summary>Whether lives that rest on a left-out reading are taken in.</summary>
    public bool IncludeFlagged { get; init; }

    /// <inheritdoc cref="LifeFilter.Under"/>
    public new CohortSelection Under(AliasTable aliases) => (CohortSelection)base.Under(aliases);
}
