namespace Reliability.Engine.Abstractions;

/// <summary>Reason codes of <see cref="NotEstimable"/> that built-in methods give.</summary>
public static class NotEstimableReasons
{
    /// <summary>The sample has no rows.</summary>
    public const string NoObservations = "NO_OBSERVATIONS";

    /// <summary>No life failed, and the model needs a failure (with a shape given it gives one-sided bounds instead).</summary>
    public const string NoFailures = "NO_FAILURES";

    /// <summary>All failures lie at the greatest age of the sample: the likelihood grows without end in the shape.</summary>
    public const string AllFailuresAtGreatestTime = "ALL_FAILURES_AT_GREATEST_TIME";

    /// <summary>The likelihood has no maximum at finite parameters for these rows.</summary>
    public const string MaximumAtInfinity = "MAXIMUM_AT_INFINITY";

    /// <summary>The likelihood is greatest at the border of what the parameters may be, where nothing it gives can be trusted.</summary>
    public const string MaximumAtBorder = "MAXIMUM_AT_BORDER";

    /// <summary>The lives do not show the parts that the model is made of.</summary>
    public const string NotIdentified = "NOT_IDENTIFIED";

    /// <summary>No failure has a mode on record, and the model needs them.</summary>
    public const string NoFailureModes = "NO_FAILURE_MODES";

    /// <summary>More failure modes than bounds of the whole can be made for.</summary>
    public const string TooManyFailureModes = "TOO_MANY_FAILURE_MODES";

    /// <summary>Some failures are known only between two ages, and the method needs their exact age.</summary>
    public const string IntervalOutcomes = "INTERVAL_OUTCOMES";

    /// <summary>Some lives entered observation late, and the method does not take that.</summary>
    public const string LateEntry = "LATE_ENTRY";

    /// <summary>The maximisation did not reach its tolerance; no number is given rather than a doubtful one.</summary>
    public const string NoConvergence = "NO_CONVERGENCE";

    /// <summary>The information about the parameters is singular: the data cannot tell them apart.</summary>
    public const string SingularInformation = "SINGULAR_INFORMATION";

    /// <summary>A cohort of the comparison could not be fitted, so the comparison cannot be made.</summary>
    public const string CohortNotEstimable = "COHORT_NOT_ESTIMABLE";

    /// <summary>No two cohorts were at risk together at any failure, so nothing compares them.</summary>
    public const string NoCommonRisk = "NO_COMMON_RISK";

    /// <summary>Exact bounds do not exist for lives that were observed in this way.</summary>
    public const string NoExactBounds = "NO_EXACT_BOUNDS";

    /// <summary>Samples like this one cannot be simulated: too many lives, or counts that are no whole numbers.</summary>
    public const string CannotBeSimulated = "CANNOT_BE_SIMULATED";
}
