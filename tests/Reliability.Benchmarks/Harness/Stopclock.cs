using System.Diagnostics;

namespace Reliability.Benchmarks.Harness;

/// <summary>Times work on a noisy machine: warmed up, then the median of many runs.</summary>
internal static class Stopclock
{
    /// <summary>The median time of a run in milliseconds.</summary>
    /// <param name="work">The work.</param>
    /// <param name="runs">How many runs after one that does not count.</param>
    public static double MedianMilliseconds(Action work, int runs)
    {
        work();
        var times = new double[runs];
        for (var run = 0; run < runs; run++)
        {
            var start = Stopwatch.GetTimestamp();
            work();
            times[run] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        }

        Array.Sort(times);
        return times[runs / 2];
    }

    /// <summary>The least time of a run in milliseconds: other work on the machine can only make a run longer.</summary>
    /// <param name="work">The work.</param>
    /// <param name="runs">How many runs after one that does not count.</param>
    public static double LeastMilliseconds(Action work, int runs)
    {
        work();
        var least = double.PositiveInfinity;
        for (var run = 0; run < runs; run++)
        {
            var start = Stopwatch.GetTimestamp();
            work();
            least = Math.Min(least, Stopwatch.GetElapsedTime(start).TotalMilliseconds);
        }

        return least;
    }
}
