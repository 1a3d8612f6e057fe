using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>Ages in increasing order with the lives at each; without a column of counts where every row is one life.</summary>
internal sealed class AgeCounts
{
    private readonly double[] _hours;
    private readonly double[]? _counts;

    private AgeCounts(double[] hours, double[]? counts)
    {
        _hours = hours;
        _counts = counts;
        if (counts is null)
            Array.Sort(hours);
        else
            Array.Sort(hours, counts);
    }

    /// <summary>Ages at which lives ended in a way.</summary>
    public static AgeCounts Of(LifeSample sample, LifeOutcome outcome) => Of([sample], outcome);

    /// <summary>Ages at which lives of several samples ended in a way.</summary>
    public static AgeCounts Of(IReadOnlyList<LifeSample> samples, LifeOutcome outcome)
    {
        var rows = 0;
        var single = true;
        foreach (var sample in samples)
        {
            for (var i = 0; i < sample.RowCount; i++)
            {
                if (sample.Outcomes[i] != outcome)
                    continue;
                rows++;
                single &= sample.Counts[i] == 1;
            }
        }

        var hours = new double[rows];
        var counts = single ? null : new double[rows];
        var row = 0;
        foreach (var sample in samples)
        {
            for (var i = 0; i < sample.RowCount; i++)
            {
                if (sample.Outcomes[i] != outcome)
                    continue;
                hours[row] = sample.LowerHours[i];
                if (counts is not null)
                    counts[row] = sample.Counts[i];
                row++;
            }
        }

        return new AgeCounts(hours, counts);
    }

    /// <summary>Ages at which lives came under observation.</summary>
    public static AgeCounts OfEntries(LifeSample sample) => new(sample.EntryHours.ToArray(), sample.Counts.ToArray());

    /// <summary>Ages at which lives are known to have ended, or were last seen.</summary>
    public static AgeCounts OfEnds(LifeSample sample) => new(sample.UpperHours.ToArray(), sample.Counts.ToArray());

    /// <summary>The ages, each once.</summary>
    public double[] DistinctHours()
    {
        var distinct = 0;
        for (var i = 0; i < _hours.Length; i++)
        {
            if (i == 0 || _hours[i] > _hours[i - 1])
                distinct++;
        }

        var hours = new double[distinct];
        distinct = 0;
        for (var i = 0; i < _hours.Length; i++)
        {
            if (i == 0 || _hours[i] > _hours[i - 1])
                hours[distinct++] = _hours[i];
        }

        return hours;
    }

    /// <summary>Adds the lives from a place in the order on, up to an age, and moves the place on.</summary>
    /// <param name="hours">The age.</param>
    /// <param name="inclusive">Whether lives at the age itself are added.</param>
    /// <param name="place">The place.</param>
    /// <param name="sum">What to add to.</param>
    public double Through(double hours, bool inclusive, ref int place, double sum)
    {
        for (; place < _hours.Length && (_hours[place] < hours || (inclusive && _hours[place] == hours)); place++)
            sum += _counts is null ? 1 : _counts[place];
        return sum;
    }
}
