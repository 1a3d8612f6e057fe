namespace Reliability.Engine.Families;

/// <summary>A bound on the transformed scale of its quantity, or the lack of one.</summary>
/// <param name="Value">The bound; null when there is none.</param>
/// <param name="IsEndless">Whether there is none because the likelihood never falls far enough on that side; else the search
/// for it has failed.</param>
internal readonly record struct FamilyBound(double? Value, bool IsEndless = false)
{
    /// <summary>The likelihood never falls far enough.</summary>
    public static FamilyBound Endless => new(null, true);

    /// <summary>The search failed, which says nothing about the data.</summary>
    public static FamilyBound NotFound => new(null);

    /// <summary>A bound that was found; one that is not finite lies beyond all numbers.</summary>
    public static FamilyBound At(double value) => double.IsFinite(value) ? new(value) : Endless;
}
