using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// The fitted line at enough ages. Where it is straight on the model's axes a few would do; where it is not, as of a life model with a
/// location or of several modes, straight pieces between few ages would show a misfit that is not there. Ages are added until the pieces
/// lie within half a pixel of the line on a sheet of the usual size.
/// </summary>
internal static class FitLine
{
    private const int EvenPoints = 41;
    private const int MostPoints = 400;
    private const int MostRounds = 14;
    private const double SheetWidth = 1000;
    private const double SheetHeight = 650;

    /// <summary>The line between two ages.</summary>
    /// <param name="fit">The fit.</param>
    /// <param name="from">Smaller age in hours, above 0.</param>
    /// <param name="to">Greater age in hours.</param>
    /// <param name="least">The fraction failed below which nothing is looked at.</param>
    /// <param name="greatest">The fraction failed above which nothing is looked at.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    public static IReadOnlyList<PlotPoint> Of(
        IFittedLife fit, double from, double to, double least, double greatest, CancellationToken cancellationToken)
    {
        var scale = fit.Model.Plot;
        var left = scale.HoursToAxis(from);
        var step = (scale.HoursToAxis(to) - left) / (EvenPoints - 1);
        double[] hours = [.. Enumerable.Range(0, EvenPoints).Select(i => scale.AxisToHours(left + (i * step)))];
        (hours[0], hours[^1]) = (from, to);
        List<PlotPoint> line = [.. fit.Curve(hours, cancellationToken)];
        var (bottom, top) = (scale.FractionToAxis(least), scale.FractionToAxis(greatest));
        for (var round = 0; round < MostRounds && line.Count < MostPoints; round++)
        {
            double[] missing =
            [
                .. Coarse(line, bottom, top).Take(MostPoints - line.Count)
                    .Select(i => (Hours: scale.AxisToHours((line[i].AxisHours + line[i + 1].AxisHours) / 2), After: i))
                    .Where(middle => middle.Hours > line[middle.After].Hours && middle.Hours < line[middle.After + 1].Hours)
                    .Select(middle => middle.Hours),
            ];
            if (missing.Length == 0)
                break;
            line = [.. line.Concat(fit.Curve(missing, cancellationToken)).OrderBy(point => point.Hours)];
        }

        return line;
    }

    /// <summary>The pieces, by the number of their first point, that stray from the line or from a bound.</summary>
    private static SortedSet<int> Coarse(List<PlotPoint> line, double bottom, double top)
    {
        // Bounds are drawn thinner, and cost more: a pixel and a half is near enough.
        var curves = new (double Tolerance, double[] Heights)[]
        {
            (0.4, [.. line.Select(p => Height(p.AxisFraction, p.FailedFraction.Value))]),
            (1.5, [.. line.Select(p => Height(p.AxisLower, p.FailedFraction.Lower))]),
            (1.5, [.. line.Select(p => Height(p.AxisUpper, p.FailedFraction.Upper))]),
        };
        // Only what a sheet shows is as wide as the sheet.
        int[] seen = [.. Enumerable.Range(0, line.Count).Where(i => curves.Any(c => c.Heights[i] >= bottom && c.Heights[i] <= top))];
        var coarse = new SortedSet<int>();
        if (seen.Length == 0 || top <= bottom)
            return coarse;
        var (first, last) = (Math.Max(seen[0] - 1, 0), Math.Min(seen[^1] + 1, line.Count - 1));
        double[] x = [.. line.Select(p => p.AxisHours * SheetWidth / (line[last].AxisHours - line[first].AxisHours))];
        foreach (var (tolerance, heights) in curves)
        {
            double[] y = [.. heights.Select(height => (height - bottom) * SheetHeight / (top - bottom))];
            for (var i = first; i < last; i++)
            {
                if (Strays(x, y, i, tolerance))
                    coarse.Add(i);
            }
        }

        return coarse;
    }

    private static bool Strays(double[] x, double[] y, int i, double tolerance)
    {
        var (from, to) = (y[i], y[i + 1]);
        if (double.IsNaN(from) || double.IsNaN(to) || Math.Max(from, to) < 0 || Math.Min(from, to) > SheetHeight)
            return false;
        var width = x[i + 1] - x[i];
        // The line comes from a fraction of 0, or goes to one of 1: on most axes from or to beyond any sheet.
        if (double.IsInfinity(from) || double.IsInfinity(to))
            return width > tolerance;
        var slope = (to - from) / width;
        var bend = Math.Max(Bend(x, y, i), Bend(x, y, i + 1));
        // A chord over a parabola is off by an eighth of its bend in the middle; seen at a right angle, less where it is steep.
        return bend * width * width / 8 / Math.Sqrt(1 + (slope * slope)) > tolerance;
    }

    /// <summary>The second derivative at a point, from its neighbours; 0 where it has none.</summary>
    private static double Bend(double[] x, double[] y, int i)
    {
        if (i == 0 || i == x.Length - 1)
            return 0;
        var (before, after) = ((y[i] - y[i - 1]) / (x[i] - x[i - 1]), (y[i + 1] - y[i]) / (x[i + 1] - x[i]));
        var bend = Math.Abs(after - before) * 2 / (x[i + 1] - x[i - 1]);
        return double.IsFinite(bend) ? bend : 0;
    }

    private static double Height(double? position, double? fraction) => position ?? fraction switch
    {
        <= 0 => double.NegativeInfinity,
        >= 1 => double.PositiveInfinity,
        _ => double.NaN,
    };
}
