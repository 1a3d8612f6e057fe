using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>What a life, or several alike, says of the plan it was watched under. Positions are on the log axis.</summary>
/// <param name="Entry">Where it was first watched.</param>
/// <param name="Exit">Where it failed or was stopped; the middle where it failed between two ages.</param>
/// <param name="Count">How many such lives.</param>
/// <param name="IsStopped">Whether it was stopped.</param>
/// <param name="PlannedEnd">Where a life that failed would have been stopped, if stated.</param>
internal readonly record struct PlanRow(double Entry, double Exit, double Count, bool IsStopped, double? PlannedEnd)
{
    // Of larger samples lives are pooled that lie between the same quantiles of entry and exit, taken from so many rows.
    private const int MostRows = 4096, EntryParts = 24, ExitParts = 256;

    /// <summary>
    /// The rows of a sample; of a large one, pooled, each at the mean of its own: memory does not grow with the sample, and no life moves
    /// farther than past one in 256 of the others.
    /// </summary>
    public static IEnumerable<PlanRow> Of(LifeSample sample, LogTimeAxis axis)
    {
        if (sample.RowCount <= MostRows)
            return Enumerable.Range(0, sample.RowCount).Select(i => Of(sample, i, axis));
        var few = Enumerable.Range(0, MostRows).Select(k => Of(sample, (int)((long)k * sample.RowCount / MostRows), axis)).ToList();
        var entries = Quantiles(few.Select(row => row.Entry), EntryParts);
        var exits = Quantiles(few.Select(row => row.PlannedEnd ?? row.Exit), ExitParts);
        var pools = new Dictionary<(int Entry, int Exit, bool IsStopped, bool IsPlanned), PlanRow>();
        for (var i = 0; i < sample.RowCount; i++)
        {
            var row = Of(sample, i, axis);
            var key = (Part(entries, row.Entry), Part(exits, row.PlannedEnd ?? row.Exit), row.IsStopped, row.PlannedEnd is not null);
            pools[key] = pools.TryGetValue(key, out var pool) ? pool.With(row) : row;
        }

        return pools.Values;
    }

    private static PlanRow Of(LifeSample sample, int i, LogTimeAxis axis)
    {
        var stopped = sample.Outcomes[i] == LifeOutcome.Survived;
        var exit = (sample.LowerHours[i] + sample.UpperHours[i]) / 2;
        var planned = sample.PlannedEndHours.IsEmpty ? double.NaN : sample.PlannedEndHours[i];
        return new(
            axis.ToX(sample.EntryHours[i]), axis.ToX(exit), sample.Counts[i], stopped,
            stopped || double.IsNaN(planned) ? null : axis.ToX(Math.Max(planned, exit)));
    }

    /// <summary>Both rows as one at their mean.</summary>
    private PlanRow With(in PlanRow row)
    {
        var count = Count + row.Count;
        var share = row.Count / count;
        return new(
            Mean(Entry, row.Entry), Mean(Exit, row.Exit), count, IsStopped,
            PlannedEnd is { } end && row.PlannedEnd is { } other ? Mean(end, other) : null);

        double Mean(double a, double b) => a == b ? a : a + share * (b - a);
    }

    private static double[] Quantiles(IEnumerable<double> positions, int parts)
    {
        double[] sorted = [.. positions.Order()];
        return [.. Enumerable.Range(0, parts).Select(k => sorted[(int)((long)k * sorted.Length / parts)]).Distinct()];
    }

    // Infinite positions have parts of their own.
    private static int Part(double[] quantiles, double position)
    {
        if (double.IsInfinity(position))
            return double.IsNegative(position) ? -1 : quantiles.Length + 1;
        var at = Array.BinarySearch(quantiles, position);
        return at < 0 ? ~at : at;
    }
}
