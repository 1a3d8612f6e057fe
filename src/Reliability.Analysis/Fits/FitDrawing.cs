using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Lays a fit out on its model's own axes: the line with bounds, and what was observed.</summary>
internal static class FitDrawing
{
    private const int LinePoints = 41;
    private const int GreatestMarkCount = 1000;

    public static FitPlot Draw(
        IFittedLife fit, LifeSample sample, INonparametricEstimator nonparametric, NoteCollector notes,
        CancellationToken cancellationToken)
    {
        var scale = fit.Model.Plot;
        var (from, to) = Range(fit, sample, cancellationToken);
        var left = scale.HoursToAxis(from);
        var step = (scale.HoursToAxis(to) - left) / (LinePoints - 1);
        double[] hours = [.. Enumerable.Range(0, LinePoints).Select(i => scale.AxisToHours(left + (i * step)))];
        (hours[0], hours[^1]) = (from, to);
        var line = fit.Curve(hours, cancellationToken);
        var marks = Marks(fit, line, sample, nonparametric, from, notes, cancellationToken);

        double[] fractions =
        [
            .. line.SelectMany(p => new[] { p.FailedFraction.Value, p.FailedFraction.Lower, p.FailedFraction.Upper })
                .OfType<double>().Concat(marks.Select(m => m.FailureFraction)).Where(p => p is > 1e-9 and < 1 - 1e-9),
        ];
        return new(
            new(
                scale.HoursScale,
                scale.FractionScale,
                scale.HoursTicks(from, to),
                fractions.Length == 0 ? [] : scale.FractionTicks(fractions.Min(), fractions.Max())),
            line,
            marks);
    }

    /// <summary>From the earliest mark or B1 life to the oldest age, and on to B90 as long as that is at most twice as far.</summary>
    private static (double From, double To) Range(IFittedLife fit, LifeSample sample, CancellationToken cancellationToken)
    {
        var oldest = sample.OldestHours;
        var from = oldest / 100;
        for (var i = 0; i < sample.RowCount; i++)
        {
            var age = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => sample.LowerHours[i],
                LifeOutcome.Between => sample.LowerHours[i] > 0 ? sample.LowerHours[i] : sample.UpperHours[i] / 2,
                _ => oldest,
            };
            from = Math.Min(from, age);
        }

        if (fit.PercentileLife(0.01, cancellationToken).Value is { } early && early > oldest / 10_000)
            from = Math.Min(from, early);
        var late = fit.PercentileLife(0.9, cancellationToken).Value ?? oldest;
        return (from, Math.Max(oldest, Math.Min(late, 2 * oldest)));
    }

    private static IReadOnlyList<ObservedMark> Marks(
        IFittedLife fit, IReadOnlyList<PlotPoint> line, LifeSample sample, INonparametricEstimator nonparametric, double from,
        NoteCollector notes, CancellationToken cancellationToken)
    {
        if (sample.FailureCount == 0)
            return [];
        IReadOnlyList<ObservedMark> marks = nonparametric.Estimate(sample, fit.ConfidenceLevel, cancellationToken)
            .TryGet(out var survival, out _)
            ? Points(fit.Model.Plot, survival)
            : OnLine(fit.Model.Plot, line, sample, from, notes);
        if (marks.Count <= GreatestMarkCount)
            return marks;
        notes.Warn(AnalysisWarningCodes.MarksThinned,
            $"{marks.Count} marks are more than a drawing can show; every so-manyth of them is given, {GreatestMarkCount} in all.");
        return [.. Enumerable.Range(0, GreatestMarkCount).Select(i => marks[(int)((long)i * (marks.Count - 1) / (GreatestMarkCount - 1))])];
    }

    private static ObservedMark[] Points(IPlotScale scale, SurvivalEstimate survival) =>
    [
        .. survival.Points.Where(p => p.PlottingFraction is > 0 and < 1).Select(p => new ObservedMark(
            p.Hours, null, p.PlottingFraction, scale.HoursToAxis(p.Hours), null, scale.FractionToAxis(p.PlottingFraction),
            (long)Math.Round(p.Failures))),
    ];

    /// <summary>Bars from lower to upper age on the fitted line, half-way along the axis; points for known ages.</summary>
    private static List<ObservedMark> OnLine(
        IPlotScale scale, IReadOnlyList<PlotPoint> line, LifeSample sample, double from, NoteCollector notes)
    {
        notes.Warn(AnalysisWarningCodes.MarksOnLine,
            "Some lives failed between two known ages. Marks lie on the fitted line: they show where failures were seen, not how well "
            + "the line fits.");
        var failures = new SortedDictionary<(double Lower, double Upper), double>();
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Survived)
                continue;
            var ages = (sample.LowerHours[i], sample.UpperHours[i]);
            failures[ages] = failures.GetValueOrDefault(ages) + sample.Counts[i];
        }

        var marks = new List<ObservedMark>(failures.Count);
        foreach (var ((lower, upper), count) in failures)
        {
            var start = scale.HoursToAxis(Math.Max(lower, from));
            var end = scale.HoursToAxis(Math.Max(upper, from));
            if (HeightAt(line, (start + end) / 2) is { } height)
            {
                var isBar = upper > lower;
                marks.Add(new(
                    lower, isBar ? upper : null, scale.AxisToFraction(height), start, isBar ? end : null, height,
                    (long)Math.Round(count)));
            }
        }

        return marks;
    }

    /// <summary>Height of the drawn line at a place of the horizontal axis, or null beyond its ends.</summary>
    private static double? HeightAt(IReadOnlyList<PlotPoint> line, double axisHours)
    {
        for (var i = 1; i < line.Count; i++)
        {
            if (line[i].AxisHours < axisHours)
                continue;
            var (before, after) = (line[i - 1], line[i]);
            if (before.AxisFraction is not { } low || after.AxisFraction is not { } high)
                return null;
            var share = (axisHours - before.AxisHours) / (after.AxisHours - before.AxisHours);
            return low + (Math.Max(share, 0) * (high - low));
        }

        return null;
    }
}
