using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Fitting;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Survival where failures are known only between two ages (Turnbull 1976). No bounds: the estimate nears the truth with the
/// cube root of the number of lives, not the square root, to a limit that is not normal (Groeneboom and Wellner 1992), and
/// the bootstrap of such estimates is not consistent (Sen, Banerjee and Woodroofe 2010; Sen and Xu 2015).
/// </summary>
internal static class TurnbullCurve
{
    /// <summary>Why there is no curve; null when there is one.</summary>
    public static NotEstimable? Refusal(LifeSample sample) => sample.HasLateEntry
        ? new NotEstimable(
            NotEstimableReasons.LateEntry,
            "Some lives entered observation late while some failures are known only between two ages. Together they leave the "
            + "curve without a sound estimate (its likelihood may have several maxima, and the early part none). A life model takes both.")
        : null;

    public static Estimable<SurvivalEstimate> Of(LifeSample sample, double confidenceLevel, CancellationToken cancellationToken)
    {
        if (Refusal(sample) is { } refusal)
            return refusal;
        var intervals = InnermostIntervals.Of(sample);
        var found = TurnbullMaximiser.Maximise(intervals, cancellationToken);
        if (!(found.Violation <= TurnbullMaximiser.Tolerance))
        {
            return new NotEstimable(
                NotEstimableReasons.NoConvergence, "The maximum was not reached to its tolerance; no doubtful curve is given.");
        }

        var points = Points(intervals, found.Masses);
        return new SurvivalEstimate(SurvivalMethod.Turnbull, points, Median(points), confidenceLevel, Warnings(sample));
    }

    private static List<SurvivalPoint> Points(InnermostIntervals intervals, double[] masses)
    {
        // What is left after each interval, summed from the right: a tail keeps its digits.
        var left = new double[masses.Length];
        for (var j = masses.Length - 2; j >= 0; j--)
            left[j] = left[j + 1] + masses[j + 1];
        var points = new List<SurvivalPoint>();
        var hazard = 0.0;
        for (var j = 0; j < masses.Length; j++)
        {
            if (masses[j] == 0 || double.IsPositiveInfinity(intervals.Upper[j]))
                continue;
            var before = Math.Min(left[j] + masses[j], 1);
            hazard += masses[j] / (left[j] + masses[j]);
            points.Add(new SurvivalPoint(
                intervals.Upper[j], null, null,
                new BoundedEstimate { Value = Math.Min(left[j], 1) },
                new BoundedEstimate { Value = hazard },
                1 - (before + left[j]) / 2)
            {
                LowerHours = intervals.Lower[j] < intervals.Upper[j] ? intervals.Lower[j] : null,
            });
        }

        return points;
    }

    private static BoundedEstimate Median(List<SurvivalPoint> points)
    {
        var notes = new List<EngineWarning>();
        var at = points.Find(p => p.Reliability.Value <= 0.5);
        if (at is null)
            notes.Add(new EngineWarning(WarningCodes.NoValue, "The curve stays above one half: the median is not reached."));
        else if (at.LowerHours is { } lower)
        {
            notes.Add(new EngineWarning(
                WarningCodes.FailuresBetweenAges,
                string.Create(CultureInfo.InvariantCulture,
                    $"The curve passes one half somewhere after {lower:G6} and up to {at.Hours:G6} hours; the later age is given.")));
        }

        return new BoundedEstimate { Value = at?.Hours, Notes = notes };
    }

    private static List<EngineWarning> Warnings(LifeSample sample)
    {
        var warnings = FitWarnings.Of(sample);
        warnings.Add(new EngineWarning(
            WarningCodes.FailuresBetweenAges,
            string.Create(CultureInfo.InvariantCulture,
                $"{sample.BetweenCount:G6} of {sample.FailureCount:G6} failures are known only between two ages: the curve falls somewhere ")
            + "within each stretch given, and the data do not say where."));
        warnings.Add(new EngineWarning(
            WarningCodes.NoBounds,
            "With failures known only between two ages the usual bounds are not sound, and none are given; a life model has some."));
        return warnings;
    }
}
