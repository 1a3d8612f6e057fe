namespace Reliability.Engine.Abstractions;

/// <summary>What ended the observation of the sample; decides which chi-square bounds apply.</summary>
public enum Termination
{
    /// <summary>Not stated; time-terminated is assumed, which is conservative.</summary>
    Unspecified = 0,

    /// <summary>Observation stopped at a failure (type II censoring).</summary>
    FailureTerminated = 1,

    /// <summary>Observation stopped at set ages or dates (type I censoring).</summary>
    TimeTerminated = 2,
}
