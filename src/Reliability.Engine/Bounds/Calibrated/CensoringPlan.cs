using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// When the lives of a sample were first watched, and when they would have been stopped had they not failed: groups of lives by entry,
/// and for each how many would have been stopped where. Positions are on the sample's log axis; watched from the start is negative
/// infinity, never stopped is positive infinity.
/// </summary>
internal sealed class CensoringPlan
{
    // Beyond so many different ages neighbours are put together: where that many lives were stopped, the correction is small.
    private const int MostEntries = 64, MostEnds = 256;

    private CensoringPlan(double[] entries, double[] ends, double[][] lives) => (Entries, Ends, Lives) = (entries, ends, lives);

    /// <summary>Entries, rising.</summary>
    public double[] Entries { get; }

    /// <summary>Ends, rising.</summary>
    public double[] Ends { get; }

    /// <summary>Lives by entry, then by end.</summary>
    public double[][] Lives { get; }

    /// <summary>
    /// The plan as far as the sample states it, else by the reverse Kaplan-Meier estimate: a life that failed would have been stopped
    /// like those that were watched at that age and stopped later. A life that failed between two ages counts at their middle.
    /// </summary>
    public static CensoringPlan Of(LifeSample sample, LogTimeAxis axis)
    {
        var rows = PlanRow.Of(sample, axis).OrderBy(row => row.Exit).ThenBy(row => row.IsStopped).ToList();
        var entries = Grouping.Of(rows.Select(row => (row.Entry, row.Count)), MostEntries);
        var entryOf = rows.ConvertAll(row => entries.IndexOf(row.Entry));
        var ends = new List<double>();
        var lives = entries.Positions.Select(_ => new List<double>()).ToArray();
        var carried = new double[entries.Positions.Length];
        var sortedEntries = rows.Select(row => (row.Entry, row.Count)).OrderBy(row => row.Entry).ToList();
        double entered = 0, left = 0;
        var next = 0;
        for (var i = 0; i < rows.Count; i++)
        {
            var row = rows[i];
            for (; next < sortedEntries.Count && sortedEntries[next].Entry < row.Exit; next++)
                entered += sortedEntries[next].Count;
            if (row.PlannedEnd is { } planned)
            {
                Stop(planned, entryOf[i], row.Count);
            }
            else if (!row.IsStopped)
            {
                carried[entryOf[i]] += row.Count;
            }
            else
            {
                // The share of those watched now that is stopped now is the share of those carried that would have been.
                var share = Math.Min(1, row.Count / (entered - left));
                for (var group = 0; group < carried.Length; group++)
                {
                    Stop(row.Exit, group, carried[group] * share);
                    carried[group] -= carried[group] * share;
                }

                Stop(row.Exit, entryOf[i], row.Count);
            }

            left += row.Count;
        }

        for (var group = 0; group < carried.Length; group++)
        {
            if (carried[group] > 1e-12)
                Stop(double.PositiveInfinity, group, carried[group]);
        }

        return Made(entries.Positions, ends, lives);

        void Stop(double end, int group, double count)
        {
            if (count <= 0)
                return;
            var at = ends.BinarySearch(end);
            if (at < 0)
            {
                at = ~at;
                ends.Insert(at, end);
                foreach (var list in lives)
                    list.Insert(at, 0);
            }

            lives[group][at] += count;
        }
    }

    private static CensoringPlan Made(double[] entries, List<double> ends, List<double>[] lives)
    {
        var total = ends.Select((end, k) => (end, lives.Sum(list => list[k])));
        var kept = Grouping.Of(total, MostEnds);
        var merged = lives.Select(list =>
        {
            var row = new double[kept.Positions.Length];
            for (var k = 0; k < list.Count; k++)
                row[kept.IndexOf(ends[k])] += list[k];
            return row;
        }).ToArray();
        return new(entries, kept.Positions, merged);
    }
}
