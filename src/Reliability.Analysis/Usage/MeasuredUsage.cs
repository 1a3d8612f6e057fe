using MathNet.Numerics.Distributions;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// Hours of use a day from a module's own readings. The rate is the median of the slopes between all pairs of readings (Theil
/// 1950; Sen, JASA 63, 1968), each weighted by the time between them (Jaeckel, Ann. Math. Stat. 43, 1972): one wrong
/// reading hardly moves it, and a quiet weekend does not count as much as a month. Only recent readings enter: those of the
/// last 180 days of reading where they suffice, and those of the present host where they suffice (our own choice, no source).
/// Bounds take hours gathered in separate intervals as independent, with variance in proportion to time (a Wiener process with
/// drift), and Student's t.
/// </summary>
internal static class MeasuredUsage
{
    public const int FewestReadings = 3;
    private const double FewestDays = 7;
    private const double WindowDays = 180;
    private const int MostReadings = 60;
    private const double HoursInDay = 24;

    /// <summary>The rate, or null when readings are too few or too close together.</summary>
    public static UsageRate? Estimate(IReadOnlyList<UsagePoint> usage, double confidenceLevel)
    {
        var points = usage.Select(u => new Point(Middle(u), u.Hours, u.Stretch)).OrderBy(p => p.Time).ToList();
        if (points.Count == 0)
            return null;
        var recent = points.Where(p => p.Time >= points[^1].Time.AddDays(-WindowDays)).ToList();
        var present = points.Where(p => p.Stretch == points[^1].Stretch).ToList();
        var recentPresent = recent.Where(p => p.Stretch == points[^1].Stretch).ToList();
        return new[] { recentPresent, present, recent, points }.Where(Suffice).Select(p => Of(Thin(p), confidenceLevel)).FirstOrDefault();
    }

    private static bool Suffice(List<Point> points) =>
        points.Count >= FewestReadings
        && Intervals(points).Sum(i => i.Days) >= FewestDays
        && Intervals(points).Count() >= FewestReadings - 1;

    private static UsageRate Of(List<Point> points, double confidenceLevel)
    {
        var rate = Math.Clamp(MedianSlope(points), 0, HoursInDay);
        var intervals = Intervals(points).ToList();
        var days = intervals.Sum(i => i.Days);
        var freedom = intervals.Count - 1;
        var variancePerDay = intervals.Sum(i => Math.Pow(i.Hours - (rate * i.Days), 2) / i.Days) / freedom;
        var error = Math.Sqrt(variancePerDay / days);
        var reach = error == 0 ? 0 : StudentT.InvCDF(0, 1, freedom, (1 + confidenceLevel) / 2) * error;
        return new()
        {
            Basis = UsageBasis.Measured,
            HoursPerDay = new()
            {
                Value = rate,
                Lower = Math.Max(0, rate - reach),
                Upper = Math.Min(HoursInDay, rate + reach),
                StandardError = error,
            },
            WindowStart = points[0].Time,
            WindowEnd = points[^1].Time,
            ReadingCount = points.Count,
        };
    }

    private static double MedianSlope(List<Point> points)
    {
        var slopes = new List<(double Slope, double Weight)>(points.Count * (points.Count - 1) / 2);
        for (var i = 0; i < points.Count; i++)
        {
            for (var j = i + 1; j < points.Count; j++)
            {
                var days = (points[j].Time - points[i].Time).TotalDays;
                if (points[i].Stretch == points[j].Stretch && days > 0)
                    slopes.Add(((points[j].Hours - points[i].Hours) / days, days));
            }
        }

        slopes.Sort();
        var half = slopes.Sum(s => s.Weight) / 2;
        double passed = 0;
        foreach (var (slope, weight) in slopes)
        {
            passed += weight;
            if (passed >= half)
                return slope;
        }

        return slopes[^1].Slope;
    }

    private static IEnumerable<(double Days, double Hours)> Intervals(List<Point> points) =>
        points.Zip(points.Skip(1))
            .Where(pair => pair.First.Stretch == pair.Second.Stretch && pair.Second.Time > pair.First.Time)
            .Select(pair => ((pair.Second.Time - pair.First.Time).TotalDays, pair.Second.Hours - pair.First.Hours));

    /// <summary>Readings spread evenly over those there are, the first and the last kept: slopes grow with their square.</summary>
    private static List<Point> Thin(List<Point> points) => points.Count <= MostReadings
        ? points
        : [.. Enumerable.Range(0, MostReadings).Select(i => points[i * (points.Count - 1) / (MostReadings - 1)])];

    private static DateTimeOffset Middle(UsagePoint point) => point.Earliest + ((point.Latest - point.Earliest) / 2);

    private readonly record struct Point(DateTimeOffset Time, double Hours, int Stretch);
}
