namespace Reliability.Analysis;

/// <summary>Codes of warnings that a prediction carries.</summary>
public static class PredictionWarningCodes
{
    /// <summary>Risk and dates take the estimated parameters as known, because the life model or the lives allow no prediction with
    /// their uncertainty; it is in the bounds alone.</summary>
    public const string ParameterUncertaintyNotIncluded = "PARAMETER_UNCERTAINTY_NOT_INCLUDED";

    /// <summary>The lives are wider than the module's own cohort.</summary>
    public const string Widened = "COHORT_WIDENED";

    /// <summary>New and refurbished lives are taken together although they differ by the log-rank test.</summary>
    public const string ConditionsDiffer = "CONDITIONS_DIFFER";

    /// <summary>Hours of use a day are not measured on this module.</summary>
    public const string UsageNotMeasured = "USAGE_NOT_MEASURED";

    /// <summary>Nothing says how much the module is used, or it is not used: there are no dates.</summary>
    public const string NoUsage = "NO_USAGE";

    /// <summary>The meter was last read long ago.</summary>
    public const string StaleReading = "STALE_READING";

    /// <summary>The age is known as a range only.</summary>
    public const string AgeIsRange = "AGE_IS_RANGE";

    /// <summary>Rated hours are reached.</summary>
    public const string RatedHoursReached = "RATED_HOURS_REACHED";

    /// <summary>Rated hours lie within the range of the age; they are taken as reached.</summary>
    public const string RatedHoursUncertain = "RATED_HOURS_UNCERTAIN";

    /// <summary>There are no rated hours on record for the module.</summary>
    public const string NoRatedHours = "NO_RATED_HOURS";

    /// <summary>Dates beyond rated hours are left out.</summary>
    public const string DatesWithheld = "DATES_WITHHELD";

    /// <summary>Dates beyond rated hours are given because they were asked for.</summary>
    public const string BeyondRatedHours = "BEYOND_RATED_HOURS";

    /// <summary>A date lies beyond the calendar and is left out.</summary>
    public const string BeyondCalendar = "BEYOND_CALENDAR";
}
