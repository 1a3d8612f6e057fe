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

    private static List<ObservedMark> Marks(
        IFittedLife fit, IReadOnlyList<PlotPoint> line, LifeSample sample, INonparametricEstimator nonparametric, double from,
        NoteCollector notes, CancellationToken cancellationToken)
    {
        if (sample.FailureCount == 0)
            return [];
        var marks = nonparametric.Estimate(sample, fit.ConfidenceLevel, cancellationToken)
            .TryGet(out var survival, out _)
            ? Points(fit.Model.Plot, survival, sample, from)
            : OnLine(fit.Model.Plot, line, sample, from, notes);
        if (marks.Count <= GreatestMarkCount)
            return marks;
        notes.Warn(AnalysisWarningCodes.MarksThinned,
            $"{marks.Count} marks are more than a drawing can show; every so-manyth of them is given, {GreatestMarkCount} in all.");
        return [.. Enumerable.Range(0, GreatestMarkCount).Select(i => marks[(int)((long)i * (marks.Count - 1) / (GreatestMarkCount - 1))])];
    }

    /// <summary>Half-way up each fall of the curve; a bar where it falls somewhere between two ages.</summary>
    private static List<ObservedMark> Points(IPlotScale scale, SurvivalEstimate survival, LifeSample sample, double from)
    {
        var marks = new List<ObservedMark>();
        var before = 1.0;
        foreach (var point in survival.Points)
        {
            var after = point.Reliability.Value ?? 0;
            var failures = point.Failures ?? (before - after) * sample.TotalCount;
            before = after;
            if (point.PlottingFraction is not (> 0 and < 1))
                continue;
            var hours = point.LowerHours ?? point.Hours;
            double? upper = point.LowerHours is null ? null : point.Hours;
            marks.Add(new(
                hours, upper, point.PlottingFraction, scale.HoursToAxis(Math.Max(hours, from)),
                upper is { } end ? scale.HoursToAxis(Math.Max(end, from)) : null, scale.FractionToAxis(point.PlottingFraction),
                Math.Max((long)Math.Round(failures), 1)));
        }

        return marks;
    }

    /// <summary>Bars from lower to upper age on the fitted line, half-way along the axis; points for known ages.</summary>
    private static List<ObservedMark> OnLine(
        IPlotScale scale, IReadOnlyList<PlotPoint> line, LifeSample sample, double from, NoteCollector notes)
    {
        notes.Warn(AnalysisWarningCodes.MarksOnLine,
            "Some lives failed between two known ages, and late entry leaves no estimate without a model. Marks lie on the fitted line: they show where failures were seen, not how well "
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
