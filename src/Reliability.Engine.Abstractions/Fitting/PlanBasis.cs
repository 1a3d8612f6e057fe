namespace Reliability.Engine.Abstractions;

/// <summary>How it is known what ended the observation.</summary>
public enum PlanBasis
{
    /// <summary>The request said so.</summary>
    Stated = 0,

    /// <summary>The sample shows it: all survivors stopped exactly at the greatest failure or there are none (failure-terminated), or
    /// planned ends are stated (time-terminated).</summary>
    Detected = 1,

    /// <summary>Nothing says so: time-terminated is assumed.</summary>
    Assumed = 2,
}
