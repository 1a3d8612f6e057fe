using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// How failures that are known only between two ages come to be seen, as far as a sample shows: at inspection ages that all lives
/// share, or after gaps like those that were observed, anywhere in which the failure may lie.
/// </summary>
internal sealed class Inspections
{
    private const int MostGaps = 4, Phases = 2;

    private readonly LogTimeAxis _axis;
    private readonly double[] _ages;
    private readonly double[] _gaps;

    private Inspections(LogTimeAxis axis, double share, double[] ages, double[] gaps) =>
        (_axis, Share, _ages, _gaps) = (axis, share, ages, gaps);

    /// <summary>Share of failures that are known only between two ages.</summary>
    public double Share { get; }

    /// <summary>Whether lives share their inspection ages.</summary>
    public bool HasSharedAges => _ages.Length > 0;

    /// <summary>Shared inspection ages on the log axis, rising; empty when lives have inspections of their own.</summary>
    public IEnumerable<double> SharedPositions => _ages.Select(_axis.ToX);

    /// <summary>The inspections that a sample shows; null when all its failures are known exactly.</summary>
    public static Inspections? Of(LifeSample sample, LogTimeAxis axis)
    {
        if (!sample.HasIntervals)
            return null;
        var rows = Enumerable.Range(0, sample.RowCount).Where(i => sample.Outcomes[i] == LifeOutcome.Between)
            .Select(i => (Lower: sample.LowerHours[i], Upper: sample.UpperHours[i], Count: sample.Counts[i]))
            .OrderBy(row => row.Lower).ThenBy(row => row.Upper).ToList();
        var share = sample.BetweenCount / sample.FailureCount;
        var distinct = rows.Select(row => (row.Lower, row.Upper)).Distinct().ToList();
        var apart = distinct.Zip(distinct.Skip(1)).All(pair => pair.First.Upper <= pair.Second.Lower);

        // Intervals that lie apart by chance are not an inspection plan: several lives must share them.
        if (apart && 2 * distinct.Count <= sample.BetweenCount)
        {
            double[] ages = [.. distinct.SelectMany(row => new[] { row.Lower, row.Upper }).Where(age => age > 0).Distinct().Order()];
            return new(axis, share, ages, []);
        }

        return new(axis, share, [], GapQuantiles(rows.ConvertAll(row => (row.Upper - row.Lower, row.Count))));
    }

    /// <summary>Where a failure at x may come to lie, with equal chances; an infinite upper end means that no inspection saw it.</summary>
    public IEnumerable<(double Lower, double Upper)> Around(double x)
    {
        var hours = _axis.ReferenceHours * Math.Exp(x);
        if (_ages.Length > 0)
        {
            yield return Cell(hours);
            yield break;
        }

        foreach (var gap in _gaps)
        {
            for (var phase = 0; phase < Phases; phase++)
                yield return Within(hours, gap, (phase + 0.5) / Phases);
        }
    }

    /// <summary>Where a failure at x comes to lie, by two numbers drawn from (0, 1).</summary>
    public (double Lower, double Upper) Drawn(double x, double gap, double phase)
    {
        var hours = _axis.ReferenceHours * Math.Exp(x);
        return _ages.Length > 0 ? Cell(hours) : Within(hours, _gaps[(int)(gap * _gaps.Length)], phase);
    }

    private (double Lower, double Upper) Cell(double hours)
    {
        var at = Array.BinarySearch(_ages, hours);
        if (at < 0)
            at = ~at;
        return (
            at == 0 ? double.NegativeInfinity : _axis.ToX(_ages[at - 1]),
            at == _ages.Length ? double.PositiveInfinity : _axis.ToX(_ages[at]));
    }

    private (double Lower, double Upper) Within(double hours, double gap, double phase)
    {
        var lower = Math.Max(0, hours - phase * gap);
        return (_axis.ToX(lower), _axis.ToX(lower + gap));
    }

    private static double[] GapQuantiles(List<(double Gap, double Count)> gaps)
    {
        gaps.Sort();
        var total = gaps.Sum(row => row.Count);
        var picked = new double[MostGaps];
        double before = 0;
        var next = 0;
        foreach (var (gap, count) in gaps)
        {
            before += count;
            for (; next < MostGaps && (next + 0.5) / MostGaps * total <= before; next++)
                picked[next] = gap;
        }

        return picked;
    }
}
