using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Resampling;

/// <summary>
/// How samples like a given one come about. Failure-terminated: the failures in their order, survivors withdrawn at the failure at which
/// theirs were. Time-terminated: each life from its own entry, stopped where it was or was to be; a failed life of which that is not known
/// is stopped at an age drawn from the reverse Kaplan-Meier estimate of ages of stopping beyond its failure, as lives of its entry are.
/// </summary>
internal sealed class ReplicatePlan
{
    /// <summary>Samples of more lives are not imitated.</summary>
    public const int MostLives = 20_000;

    private readonly double[] _stops;
    private readonly double[] _watchedAfter;

    private ReplicatePlan(double[] stops, double[] watchedAfter) => (_stops, _watchedAfter) = (stops, watchedAfter);

    /// <summary>Time-terminated: the lives. Empty where observation ended at a failure.</summary>
    public ReplicateLife[] Lives { get; private init; } = [];

    /// <summary>Failure-terminated: lives watched before each failure, in order. Empty where observation ended by time.</summary>
    public double[] Watched { get; private init; } = [];

    /// <summary>Failure-terminated: lives that end at each failure, itself and those withdrawn there.</summary>
    public double[] Ending { get; private init; } = [];

    /// <summary>How failures come to be known only between two ages; null when all are known exactly.</summary>
    public Inspections? Inspections { get; private init; }

    public bool IsFailureTerminated => Watched.Length > 0;

    public bool HasLateEntry { get; private init; }

    /// <summary>Lives whose end is drawn.</summary>
    public int Drawn => Lives.Count(life => double.IsNaN(life.End));

    /// <summary>Reads the plan of a sample; null when a count is no whole number or lives are too many.</summary>
    public static ReplicatePlan? Of(LifeSample sample, LogTimeAxis axis, ObservationPlan plan)
    {
        if (sample.TotalCount > MostLives || sample.Counts.ContainsAnyExceptInRange(1, MostLives))
            return null;
        foreach (var count in sample.Counts)
        {
            if (count != Math.Floor(count))
                return null;
        }

        return plan.Termination == Termination.FailureTerminated ? FailureTerminated(sample) : TimeTerminated(sample, axis);
    }

    /// <summary>Where a life is stopped, by a number drawn from (0, 1).</summary>
    public double End(in ReplicateLife life, double uniform)
    {
        if (!double.IsNaN(life.End))
            return life.End;
        int low = life.FirstStop, high = _stops.Length;
        var target = life.Watched * uniform;
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (_watchedAfter[middle] <= target)
                high = middle;
            else
                low = middle + 1;
        }

        return low < _stops.Length ? _stops[low] : double.PositiveInfinity;
    }

    /// <summary>The plan in words.</summary>
    public string InWords()
    {
        if (IsFailureTerminated)
        {
            return string.Create(
                CultureInfo.InvariantCulture, $"Each sample ends at its failure number {Watched.Length:N0}; survivors are withdrawn at failures, as they were.");
        }

        var drawn = Drawn;
        var words = "Lives are stopped where they were or were to be";
        if (drawn > 0)
        {
            words += string.Create(
                CultureInfo.InvariantCulture, $"; {drawn:N0} failed without a stated end and are stopped like those watched longer (reverse Kaplan-Meier)");
        }

        words += HasLateEntry ? ". Each is watched from its own age on." : ".";
        return Inspections is null ? words : words + " Failures between two ages are found by inspections like those seen.";
    }

    private static ReplicatePlan FailureTerminated(LifeSample sample)
    {
        var rows = Enumerable.Range(0, sample.RowCount).ToArray();
        var ages = sample.LowerHours.ToArray();
        var outcomes = sample.Outcomes.ToArray();
        var counts = sample.Counts.ToArray();
        var watched = new List<double>();
        var ending = new List<double>();
        var left = sample.TotalCount;
        foreach (var i in rows.OrderBy(i => ages[i]).ThenBy(i => outcomes[i]))
        {
            for (var k = 0; k < counts[i]; k++, left--)
            {
                if (outcomes[i] == LifeOutcome.Failed)
                {
                    watched.Add(left);
                    ending.Add(1);
                }
                else if (ending.Count > 0)
                {
                    ending[^1]++;
                }
            }
        }

        return new([], []) { Watched = [.. watched], Ending = [.. ending] };
    }

    private static ReplicatePlan TimeTerminated(LifeSample sample, LogTimeAxis axis)
    {
        var (stops, after) = Stops(sample, axis);
        var lives = new List<ReplicateLife>((int)sample.TotalCount);
        for (var i = 0; i < sample.RowCount; i++)
        {
            var entry = axis.ToX(sample.EntryHours[i]);
            var exit = axis.ToX((sample.LowerHours[i] + sample.UpperHours[i]) / 2);
            var planned = sample.PlannedEndHours.IsEmpty ? double.NaN : sample.PlannedEndHours[i];

            // What was stopped at 0 h says nothing.
            if (double.IsNegativeInfinity(exit))
                continue;
            var life = sample.Outcomes[i] == LifeOutcome.Survived ? new ReplicateLife(entry, exit)
                : double.IsNaN(planned) ? Unknown(entry, exit)
                : new ReplicateLife(entry, Math.Max(axis.ToX(planned), exit));
            for (var k = 0; k < sample.Counts[i]; k++)
                lives.Add(life);
        }

        return new(stops, after)
        {
            Lives = [.. lives],
            HasLateEntry = sample.HasLateEntry,
            Inspections = Inspections.Of(sample, axis),
        };

        ReplicateLife Unknown(double entry, double exit)
        {
            var at = Array.BinarySearch(stops, exit);
            var first = at < 0 ? ~at : at;
            return first == stops.Length
                ? new(entry, double.PositiveInfinity)
                : new(entry, double.NaN, first, first == 0 ? 1 : after[first - 1]);
        }
    }

    /// <summary>The reverse Kaplan-Meier estimate: ages at which lives were stopped, and the share of lives not stopped by then.</summary>
    private static (double[] Stops, double[] WatchedAfter) Stops(LifeSample sample, LogTimeAxis axis)
    {
        var rows = new List<(double Exit, bool IsStopped, double Count)>(sample.RowCount);
        var entries = new List<(double Entry, double Count)>(sample.RowCount);
        for (var i = 0; i < sample.RowCount; i++)
        {
            rows.Add((axis.ToX((sample.LowerHours[i] + sample.UpperHours[i]) / 2), sample.Outcomes[i] == LifeOutcome.Survived, sample.Counts[i]));
            entries.Add((axis.ToX(sample.EntryHours[i]), sample.Counts[i]));
        }

        rows.Sort();
        entries.Sort();
        var stops = new List<double>();
        var after = new List<double>();
        double entered = 0, left = 0, share = 1;
        var next = 0;
        foreach (var (exit, isStopped, count) in rows)
        {
            // A life that failed at an age can no more be stopped there: failures come first in the order.
            for (; next < entries.Count && entries[next].Entry < exit; next++)
                entered += entries[next].Count;
            if (isStopped)
            {
                share *= Math.Max(0, 1 - count / (entered - left));
                if (stops.Count > 0 && stops[^1] == exit)
                {
                    after[^1] = share;
                }
                else
                {
                    stops.Add(exit);
                    after.Add(share);
                }
            }

            left += count;
        }

        return ([.. stops], [.. after]);
    }
}
