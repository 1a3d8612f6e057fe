namespace Reliability.Engine.Abstractions;

/// <summary>How the observation of one life ended.</summary>
public enum LifeOutcome : byte
{
    /// <summary>Failed at a known age (an exact failure).</summary>
    Failed = 0,

    /// <summary>Still working at the age of last observation (right-censored).</summary>
    Survived = 1,

    /// <summary>Failed at an unknown age in the half-open interval (lower, upper] (interval-censored).
    /// With lower equal to the entry age this is what is called left-censored.</summary>
    Between = 2,
}
