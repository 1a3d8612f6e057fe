using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Fitting;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Survival where failures are known only between two ages (Turnbull 1976; with late entry Frydman 1994). No bounds: the estimate nears the truth with the
/// cube root of the number of lives, not the square root, to a limit that is not normal (Groeneboom and Wellner 1992), and
/// the bootstrap of such estimates is not consistent (Sen, Banerjee and Woodroofe 2010; Sen and Xu 2015).
/// </summary>
internal static class TurnbullCurve
{
    public static Estimable<SurvivalEstimate> Of(LifeSample sample, double confidenceLevel, CancellationToken cancellationToken)
    {
        var intervals = InnermostIntervals.Of(sample);
        var found = TurnbullMaximiser.Maximise(intervals, cancellationToken);
        if (!(found.Violation <= TurnbullMaximiser.Tolerance))
        {
            return new NotEstimable(
                NotEstimableReasons.NoConvergence, "The maximum was not reached to its tolerance; no doubtful curve is given.");
        }

        var points = Points(intervals, found);
        return new SurvivalEstimate(SurvivalMethod.Turnbull, points, Median(points), confidenceLevel, Warnings(sample, points))
        {
            OldestHours = sample.OldestHours,
        };
    }

    private static List<SurvivalPoint> Points(InnermostIntervals intervals, TurnbullHazards found)
    {
        var left = found.Survival();
        var points = new List<SurvivalPoint>();
        double before = 1, hazard = 0;
        for (var j = 0; j < left.Length; j++)
        {
            if (found.Hazards[j] == 0)
                continue;
            hazard += found.FailedShare(j);
            points.Add(new SurvivalPoint(
                intervals.Upper[j], null, null,
                new BoundedEstimate { Value = left[j] },
                new BoundedEstimate { Value = hazard },
                1 - (before + left[j]) / 2)
            {
                LowerHours = intervals.Lower[j] < intervals.Upper[j] ? intervals.Lower[j] : null,
            });
            before = left[j];
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

    private static List<EngineWarning> Warnings(LifeSample sample, List<SurvivalPoint> points)
    {
        var warnings = FitWarnings.WithoutModel(sample, bounded: false);
        warnings.Add(new EngineWarning(
            WarningCodes.FailuresBetweenAges,
            string.Create(CultureInfo.InvariantCulture,
                $"{sample.BetweenCount:G6} of {sample.FailureCount:G6} failures are known only between two ages: the curve falls somewhere ")
            + "within each stretch given, and the data do not say where."));
        warnings.Add(new EngineWarning(
            WarningCodes.NoBounds,
            "With failures known only between two ages the usual bounds are not sound, and none are given; a life model has some."));
        if (sample.HasLateEntry)
            warnings.AddRange(EarlyRiskSets.Warnings(sample, RiskSets.AtMost(sample, [.. points.Select(p => p.Hours)])));
        return warnings;
    }
}
