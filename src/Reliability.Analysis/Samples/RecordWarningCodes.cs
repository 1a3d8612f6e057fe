namespace Reliability.Analysis;

/// <summary>Codes of warnings about the record behind a sample, beside those the engine gives about its numbers.</summary>
public static class RecordWarningCodes
{
    /// <summary>Meters of lives in service were last read long ago: failures since then may not be known.</summary>
    public const string StaleReadings = "STALE_READINGS";

    /// <summary>The cohorts' meters are read at very different intervals.</summary>
    public const string UnequalReadingHabits = "UNEQUAL_READING_HABITS";

    /// <summary>Removals for reasons that do not say whether the module had failed.</summary>
    public const string AmbiguousReasons = "AMBIGUOUS_REASONS";

    /// <summary>The verdict changes when ambiguous removals are read the other way.</summary>
    public const string OutcomePolicyMatters = "OUTCOME_POLICY_MATTERS";

    /// <summary>More than 5 % of the lives rest on a reading that was left out.</summary>
    public const string FlaggedShare = "FLAGGED_SHARE";

    /// <summary>Lives of the cohort were left out of the sample.</summary>
    public const string ExcludedLives = "EXCLUDED_LIVES";

    /// <summary>
    /// Lives reported whole ended after the cut-off, so that their age at it is unknown: leaving them out makes lives look
    /// shorter than they are.
    /// </summary>
    public const string CutoffBeforeReports = "CUTOFF_BEFORE_REPORTS";

    /// <summary>Lives on which reports contradict each other; the row that ends last, or at equal ends tells more, counts.</summary>
    public const string ConflictingReports = "CONFLICTING_REPORTS";

    /// <summary>The lives are of several module models, taken together as if they were one.</summary>
    public const string SeveralModuleModels = "SEVERAL_MODULE_MODELS";

    /// <summary>The lives come from few modules and are not independent.</summary>
    public const string FewModules = "FEW_MODULES";

    /// <summary>A failure mode was selected, and some failures have none on record: they count as survived so far.</summary>
    public const string FailuresOfUnknownMode = "FAILURES_OF_UNKNOWN_MODE";

    /// <summary>A failure mode was selected by which no life of the sample failed: it may be spelt otherwise on record.</summary>
    public const string FailureModeNotSeen = "FAILURE_MODE_NOT_SEEN";
}
