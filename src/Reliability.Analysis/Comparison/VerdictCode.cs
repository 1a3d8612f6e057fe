namespace Reliability.Analysis;

/// <summary>What a comparison of two cohorts can say.</summary>
public enum VerdictCode
{
    /// <summary>The second lasts longer than the first, as far as B10 life shows.</summary>
    SecondLonger,

    /// <summary>The second lasts less long than the first, as far as B10 life shows.</summary>
    SecondShorter,

    /// <summary>These data cannot tell.</summary>
    NotShown,

    /// <summary>One of the cohorts has no estimate, or the life model does not compare.</summary>
    NotComparable,
}
