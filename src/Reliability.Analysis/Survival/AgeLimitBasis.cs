namespace Reliability.Analysis;

/// <summary>Where the age limit of a restricted mean comes from.</summary>
public enum AgeLimitBasis
{
    /// <summary>The question.</summary>
    Asked,

    /// <summary>The rated hours that all lives of the cohort share.</summary>
    RatedHours,

    /// <summary>The oldest age in the sample.</summary>
    OldestAge,
}
