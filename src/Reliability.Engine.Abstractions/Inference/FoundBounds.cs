using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Bounds;

/// <summary>Bounds of a quantity on its transformed scale; null where there is none.</summary>
/// <param name="Lower">The least value.</param>
/// <param name="Upper">The greatest value.</param>
internal readonly record struct FoundBounds(double? Lower, double? Upper)
{
    /// <summary>Whether the lower one is missing because the search for it failed, which says nothing about the data.</summary>
    public bool IsLowerNotFound { get; init; }

    /// <summary>The same of the upper one.</summary>
    public bool IsUpperNotFound { get; init; }

    /// <summary>Why these bounds are not, or not quite, what their method promises; null when they are.</summary>
    public EngineWarning? Note { get; init; }

    /// <summary>The same of the other bound, where it is something else.</summary>
    public EngineWarning? OtherNote { get; init; }

    public static implicit operator FoundBounds((double? Lower, double? Upper) pair) => new(pair.Lower, pair.Upper);
}
