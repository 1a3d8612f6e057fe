namespace Reliability.Engine.Abstractions;

/// <summary>Codes of the warnings that built-in methods give.</summary>
public static class WarningCodes
{
    /// <summary>Fewer than ten failures: bounds are wide and cover less often than they say.</summary>
    public const string FewFailures = "FEW_FAILURES";

    /// <summary>More than nine in ten lives had not failed.</summary>
    public const string HeavyCensoring = "HEAVY_CENSORING";

    /// <summary>The answer lies beyond the oldest observed age, or is a percentile below 1/(2n): the model speaks, not the data.</summary>
    public const string Extrapolation = "EXTRAPOLATION";

    /// <summary>A lower bound does not exist: the likelihood never falls far enough on that side.</summary>
    public const string NoLowerBound = "NO_LOWER_BOUND";

    /// <summary>An upper bound does not exist, or exceeds every number that can be written down.</summary>
    public const string NoUpperBound = "NO_UPPER_BOUND";

    /// <summary>The quantity does not exist for this fit, or cannot be written as a finite number.</summary>
    public const string NoValue = "NO_VALUE";

    /// <summary>No life failed: there is no estimate, only one-sided bounds.</summary>
    public const string NoFailures = "NO_FAILURES";

    /// <summary>A parameter was not estimated but assumed; every answer rests on it.</summary>
    public const string AssumedParameter = "ASSUMED_PARAMETER";

    /// <summary>Chi-square bounds of the time-terminated form: they cover at least as often as they say.</summary>
    public const string ConservativeBounds = "CONSERVATIVE_BOUNDS";

    /// <summary>Early risk sets under late entry are small, and the estimate rests on few lives there.</summary>
    public const string SmallEarlyRiskSet = "SMALL_EARLY_RISK_SET";

    /// <summary>All lives entered observation late: what is estimated without a model is of those that reached the first entry.</summary>
    public const string ConditionalOnEntry = "CONDITIONAL_ON_ENTRY";

    /// <summary>Bounds are not given, because no sound way to make them is known here.</summary>
    public const string NoBounds = "NO_BOUNDS";

    /// <summary>Some failures are known only between two ages: the curve falls somewhere in between.</summary>
    public const string FailuresBetweenAges = "FAILURES_BETWEEN_AGES";

    /// <summary>Failures of unknown mode: what is said of the known ones leaves them out.</summary>
    public const string UnknownFailureModes = "UNKNOWN_FAILURE_MODES";

    /// <summary>Calibrated bounds where the study of coverage found them outside 94 to 96 %, and what it found.</summary>
    public const string CalibrationLimited = "CALIBRATION_LIMITED";

    /// <summary>Few failures, or most lives entered observation late: a prediction of one unit holds less evenly than it says.</summary>
    public const string PredictionLimited = "PREDICTION_LIMITED";

    /// <summary>A calibrated bound that r* does not give, by likelihood ratio instead.</summary>
    public const string BoundsByLikelihoodRatio = "BOUNDS_BY_LIKELIHOOD_RATIO";

    /// <summary>A calibrated bound that r* does not give, by simulating the signed root of the likelihood ratio instead.</summary>
    public const string BoundsByBootstrap = "BOUNDS_BY_BOOTSTRAP";

    /// <summary>The shape was kept to 1 or more, because the likelihood has no greatest value otherwise.</summary>
    public const string ShapeConstrained = "SHAPE_CONSTRAINED";

    /// <summary>The estimate is a maximum near which nothing is likelier, but elsewhere something is.</summary>
    public const string LocalMaximum = "LOCAL_MAXIMUM";

    /// <summary>The likelihood is greatest at location 0.</summary>
    public const string LocationAtZero = "LOCATION_AT_ZERO";

    /// <summary>The lives do not tell the location from 0.</summary>
    public const string LocationNotDistinguished = "LOCATION_NOT_DISTINGUISHED";

    /// <summary>The likelihood is not of the kind that bounds by normal approximation and by likelihood ratio suppose.</summary>
    public const string IrregularLikelihood = "IRREGULAR_LIKELIHOOD";

    /// <summary>Simulated samples of bootstrap bounds allowed no estimate, and how many.</summary>
    public const string ReplicatesWithoutEstimate = "REPLICATES_WITHOUT_ESTIMATE";

    /// <summary>Bounds from the exact distribution of pivotal quantities for a quantity of which they are not exact themselves.</summary>
    public const string BoundsNearlyExact = "BOUNDS_NEARLY_EXACT";

    /// <summary>Two subpopulations describe the lives hardly better than one.</summary>
    public const string MixtureNotDistinguished = "MIXTURE_NOT_DISTINGUISHED";

    /// <summary>Failure modes are taken to be independent, and each is told of as if the others were absent.</summary>
    public const string IndependentModes = "INDEPENDENT_MODES";

    /// <summary>The way the observation was stated to have ended cannot be used with these lives.</summary>
    public const string TerminationNotUsed = "TERMINATION_NOT_USED";

    /// <summary>Fewer than ten positions were watched at some of the ages: the estimate rests on few of them from there on.</summary>
    public const string FewPositions = "FEW_POSITIONS";

    /// <summary>No position was watched at some of the ages: replacements there are not counted.</summary>
    public const string UnwatchedAges = "UNWATCHED_AGES";

    /// <summary>No position had a replacement while it was watched.</summary>
    public const string NoReplacements = "NO_REPLACEMENTS";
}
