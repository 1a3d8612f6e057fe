namespace Reliability.Analysis;

/// <summary>When the lives in service were last read: the middle one, or the two around the middle, and the earliest.</summary>
internal sealed record LastReadings(DateTimeOffset Before, DateTimeOffset Behind, DateTimeOffset Earliest)
{
    /// <summary>Of the times of the last readings, in any order; null when there are none.</summary>
    public static LastReadings? Of(List<DateTimeOffset> times)
    {
        if (times.Count == 0)
            return null;
        times.Sort();
        var half = times.Count / 2;
        return new(times.Count % 2 == 1 ? times[half] : times[half - 1], times[half], times[0]);
    }

    /// <summary>Days from them to an instant, 0 where they come after it: the median and the greatest.</summary>
    public (double Median, double Greatest) DaysAt(DateTimeOffset instant)
    {
        return ((Days(Before) + Days(Behind)) / 2, Days(Earliest));

        double Days(DateTimeOffset time) => Math.Max(0, (instant - time).TotalDays);
    }
}
