using Reliability.Cli.Answers;
using Reliability.Plots.Probability;
using Reliability.Plots.Sheets;
using Reliability.V1;

namespace Reliability.Cli.Fits;

/// <summary>Turns fits into a sheet that can be drawn.</summary>
internal static class FitSheets
{
    /// <summary>The sheet of one fit or several on the axes of their common life model.</summary>
    /// <exception cref="PlotException">An answer has nothing to draw, or the fits have different axes.</exception>
    public static ProbabilitySheet Of(string title, IReadOnlyList<NamedFit> fits)
    {
        foreach (NamedFit named in fits)
        {
            if (named.Fit.Plot?.Axes is null)
                throw new PlotException($"The service gave nothing to draw for {named.Name}.");
        }
        PlotAxes axes = fits[0].Fit.Plot.Axes;
        if (fits.Any(named => named.Fit.Plot.Axes.FractionScale != axes.FractionScale || named.Fit.Plot.Axes.HoursScale != axes.HoursScale))
            throw new PlotException("The fits have different axes and cannot be drawn on one sheet.");
        return new ProbabilitySheet
        {
            Title = title,
            BoundsLabel = $"{NumberText.Percent(fits[0].Fit.ConfidenceLevel)} bounds",
            Notes = [.. fits.Select(named => Note(named, fits.Count > 1)), .. fits.Select(named => Entry(named, fits.Count > 1)).OfType<string>()],
            Axes = new ProbabilityAxes(axes.HoursScale, [.. fits
                .SelectMany(named => named.Fit.Plot.Axes.FractionTicks)
                .Select(tick => new FractionTick(tick.Fraction, tick.Position))
                .DistinctBy(tick => tick.Fraction)]),
            Cohorts = [.. fits.Select(Cohort)],
        };
    }

    private static string Note(NamedFit named, bool several)
    {
        LifeFit fit = named.Fit;
        string parameters = string.Join(", ", fit.ParameterOrder.Select(name =>
            fit.FixedParameters.TryGetValue(name, out double value)
                ? $"{name} {NumberText.Of(value)} (known)"
                : $"{name} {EstimateText.Whole(fit.Parameters.GetValueOrDefault(name))}"));
        return several ? $"{named.Name}: {parameters}" : parameters;
    }

    // Marks that begin at the fitted fraction agree with the line there whatever the data say: the picture must tell.
    private static string? Entry(NamedFit named, bool several) =>
        named.Fit.Warnings.FirstOrDefault(warning => warning.Code == "CONDITIONAL_ON_ENTRY") is { } conditional && named.Fit.Plot.Marks.Count > 0
            ? several ? $"{named.Name}: {conditional.Text}" : conditional.Text
            : null;

    private static ProbabilityCohort Cohort(NamedFit named) => new()
    {
        Name = named.Name,
        Line = [.. named.Fit.Plot.Line.Select(Point)],
        ObservedBy = named.Fit.Plot.MarksMethod == SurvivalMethod.Turnbull ? "Turnbull" : "Kaplan-Meier",
        Observed = [.. named.Fit.Plot.Marks.Select(mark => new ObservedFailure(
            mark.Hours,
            mark.HoursPosition,
            mark.HasUpperHoursPosition ? mark.UpperHoursPosition : null,
            mark.FractionPosition))],
    };

    private static FittedPoint Point(PlotPoint point)
    {
        Estimate position = point.FractionPosition ?? new Estimate();
        Estimate fraction = point.FailureFraction ?? new Estimate();
        return new FittedPoint(
            point.Hours,
            point.HoursPosition,
            Place(position.HasValue ? position.Value : null, fraction.HasValue ? fraction.Value : null),
            Place(position.HasLower ? position.Lower : null, fraction.HasLower ? fraction.Lower : null),
            Place(position.HasUpper ? position.Upper : null, fraction.HasUpper ? fraction.Upper : null));
    }

    // Fractions of 0 and 1 have no position on most axes, but lie beyond any sheet: the drawing runs to its edge.
    private static double? Place(double? position, double? fraction) => position ?? fraction switch
    {
        <= 0 => double.NegativeInfinity,
        >= 1 => double.PositiveInfinity,
        _ => null,
    };
}
