namespace Reliability.Analysis;

/// <summary>Why the date to act by is what it is.</summary>
public enum ActBeforeReason
{
    /// <summary>There is no date.</summary>
    None,

    /// <summary>Rated hours come first.</summary>
    RatedHours,

    /// <summary>The chance of failure reaches the risk limit first.</summary>
    RiskLimit,
}
