namespace Reliability.Engine.Abstractions;

/// <summary>Which bounds an estimate is meant to carry.</summary>
public enum BoundSide
{
    /// <summary>A two-sided pair at the confidence level; either may still be absent, and a note says why.</summary>
    Both = 0,

    /// <summary>A lower bound alone, one-sided at the confidence level.</summary>
    Lower = 1,

    /// <summary>An upper bound alone, one-sided at the confidence level.</summary>
    Upper = 2,
}
