namespace Reliability.Analysis;

/// <summary>Where hours of use a day come from.</summary>
public enum UsageBasis
{
    /// <summary>Nothing on record says how much the module is used.</summary>
    Unknown,

    /// <summary>Measured from this module's readings.</summary>
    Measured,

    /// <summary>As stated when it was installed.</summary>
    Expected,

    /// <summary>The median of like modules.</summary>
    Cohort,

    /// <summary>As assumed in the question.</summary>
    Assumed,
}
