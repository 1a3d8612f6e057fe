using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Lays a fit out on its model's own axes: the line with bounds, and what was observed.</summary>
internal static class FitDrawing
{
    private const int GreatestMarkCount = 1000;

    // What a sheet shows although nothing was observed there.
    private const double SmallFraction = 0.01;
    private const double LargeFraction = 0.999;

    public static FitPlot Draw(
        IFittedLife fit, LifeSample sample, INonparametricEstimator nonparametric, NoteCollector notes,
        CancellationToken cancellationToken)
    {
        var scale = fit.Model.Plot;
        var (from, to) = Range(fit, sample, cancellationToken);
        var (marks, method) = Marks(fit, sample, nonparametric, from, notes, cancellationToken);
        var line = FitLine.Of(
            fit, from, to,
            marks.Select(m => m.FailureFraction).Append(SmallFraction).Min(),
            marks.Select(m => m.FailureFraction).Append(LargeFraction).Max(),
            cancellationToken);

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
            marks,
            method);
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

    private static (IReadOnlyList<ObservedMark> Marks, SurvivalMethod? Method) Marks(
        IFittedLife fit, LifeSample sample, INonparametricEstimator nonparametric, double from, NoteCollector notes,
        CancellationToken cancellationToken)
    {
        if (sample.FailureCount == 0)
            return ([], null);
        if (!nonparametric.Estimate(sample, fit.ConfidenceLevel, cancellationToken).TryGet(out var survival, out var reason))
        {
            notes.Warn(AnalysisWarningCodes.NoMarks, "Nothing observed is drawn, for want of an estimate without a model. " + reason.Text);
            return ([], null);
        }

        // Where all entered late, the curve is that of lives which reached the first entry; the fitted line is that of all.
        var reached = 1.0;
        if (sample.EarliestEntryHours > 0)
        {
            reached = fit.Reliability(sample.EarliestEntryHours, cancellationToken).Value ?? 1;
            notes.Warn(WarningCodes.ConditionalOnEntry,
                $"No life was watched below {Words.Hours(sample.EarliestEntryHours)}: the marks start from the fitted fraction failed by then.");
        }

        var marks = Points(fit.Model.Plot, survival, sample, from, reached);
        if (marks.Count <= GreatestMarkCount)
            return (marks, survival.Method);
        notes.Warn(AnalysisWarningCodes.MarksThinned,
            $"{marks.Count} marks are more than a drawing can show; every so-manyth of them is given, {GreatestMarkCount} in all.");
        return (
            [.. Enumerable.Range(0, GreatestMarkCount).Select(i => marks[(int)((long)i * (marks.Count - 1) / (GreatestMarkCount - 1))])],
            survival.Method);
    }

    /// <summary>Half-way up each fall of the curve; a bar where it falls somewhere between two ages.</summary>
    private static List<ObservedMark> Points(IPlotScale scale, SurvivalEstimate survival, LifeSample sample, double from, double reached)
    {
        var marks = new List<ObservedMark>();
        var before = 1.0;
        var fallen = 1 - (survival.Points is [.., { Reliability.Value: { } last }] ? last : 0);
        foreach (var point in survival.Points)
        {
            var after = point.Reliability.Value ?? 0;
            var failures = point.Failures ?? (before - after) / fallen * sample.FailureCount;
            before = after;
            var fraction = 1 - reached * (1 - point.PlottingFraction);
            if (point.PlottingFraction is not (> 0 and < 1) || fraction is not (> 0 and < 1))
                continue;
            var hours = point.LowerHours ?? point.Hours;
            double? upper = point.LowerHours is null ? null : point.Hours;
            marks.Add(new(
                hours, upper, fraction, scale.HoursToAxis(Math.Max(hours, from)),
                upper is { } end ? scale.HoursToAxis(Math.Max(end, from)) : null, scale.FractionToAxis(fraction),
                Math.Max((long)Math.Round(failures), 1)));
        }

        return marks;
    }
}
