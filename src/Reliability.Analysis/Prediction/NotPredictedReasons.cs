namespace Reliability.Analysis;

/// <summary>Reasons why a module has no prediction.</summary>
public static class NotPredictedReasons
{
    /// <summary>Events of it have come, but not its registration.</summary>
    public const string Unregistered = "UNREGISTERED";

    /// <summary>It is on the shelf or taken out: no use, no date.</summary>
    public const string NotInService = "NOT_IN_SERVICE";

    /// <summary>It has failed and is still fitted.</summary>
    public const string Failed = "FAILED";

    /// <summary>It is out of use for good.</summary>
    public const string Retired = "RETIRED";

    /// <summary>Its age in the current life is not known, or has no upper end.</summary>
    public const string UnknownAge = "UNKNOWN_AGE";

    /// <summary>Its module model is not known.</summary>
    public const string UnknownModel = "UNKNOWN_MODEL";

    /// <summary>Lives like its own have too few failures for a fit, and there are no rated hours.</summary>
    public const string NoBasis = "NO_FIT_AND_NO_RATED_HOURS";
}
