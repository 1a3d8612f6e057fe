namespace Reliability.Store.Lives;

/// <summary>Which lives of a cohort are listed.</summary>
public enum LivesListed
{
    /// <summary>All, excluded ones with their reason.</summary>
    All,

    /// <summary>Those that enter samples.</summary>
    Counting,

    /// <summary>Those that enter samples when flagged ones are asked for.</summary>
    CountingOrFlagged,
}
