namespace Reliability.Analysis;

/// <summary>Codes of warnings that analysis adds to those of the engine and of the record.</summary>
public static class AnalysisWarningCodes
{
    /// <summary>Nothing observed is drawn beside the line.</summary>
    public const string NoMarks = "NO_MARKS";

    /// <summary>Shares failed by mode could not be estimated.</summary>
    public const string NoIncidences = "NO_INCIDENCES";

    /// <summary>More failures than marks: only some are drawn.</summary>
    public const string MarksThinned = "MARKS_THINNED";

    /// <summary>Bounds of small samples cover less often than they say.</summary>
    public const string CoverageBelowNominal = "COVERAGE_BELOW_NOMINAL";

    /// <summary>The life model does not compare cohorts: fits stand alone.</summary>
    public const string NoComparisonByModel = "NO_COMPARISON_BY_MODEL";

    /// <summary>Residuals could not be given.</summary>
    public const string NoResiduals = "NO_RESIDUALS";

    /// <summary>A life model that fits failure modes is not ranked among those that do not.</summary>
    public const string ModesNotRanked = "MODES_NOT_RANKED";

    /// <summary>A life model has a fit and no rank: the failures are too few for its criterion.</summary>
    public const string NotRanked = "NOT_RANKED";

    /// <summary>A fit could not be tested by simulation.</summary>
    public const string NoFitTest = "NO_FIT_TEST";

    /// <summary>Many of the samples simulated for the test of a fit had no fit.</summary>
    public const string FitTestSamplesLeftOut = "FIT_TEST_SAMPLES_LEFT_OUT";

    /// <summary>A plugged-in life model broke its contract.</summary>
    public const string LifeModelFailed = "LIFE_MODEL_FAILED";
}
