using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Where a maximum can put probability: a left end followed at once by a right end among the ends of all observations
/// (Turnbull 1976; Peto 1973). A failure at t is the point t, one between two ages (lower, upper], a survivor of t
/// (t, infinity). Each observation covers a run of them; equal runs are one row with their counts added.
/// </summary>
internal sealed class InnermostIntervals
{
    private InnermostIntervals(double[] lower, double[] upper, int[] first, int[] last, double[] weights)
    {
        Lower = lower;
        Upper = upper;
        First = first;
        Last = last;
        Weights = weights;
    }

    /// <summary>Lower ends, exclusive; equal to <see cref="Upper"/> for a point.</summary>
    public double[] Lower { get; }

    /// <summary>Upper ends, inclusive; infinite for what lies beyond the oldest survivor.</summary>
    public double[] Upper { get; }

    /// <summary>First interval that each row covers.</summary>
    public int[] First { get; }

    /// <summary>Last interval that each row covers.</summary>
    public int[] Last { get; }

    /// <summary>Share of all lives that each row stands for; the sum is 1.</summary>
    public double[] Weights { get; }

    /// <summary>Finds the innermost intervals of a sample with rows, without late entry.</summary>
    public static InnermostIntervals Of(LifeSample sample)
    {
        var ages = DistinctAges(sample);

        // At one age: a point begins, then what ends at it ends, then what begins beyond it begins.
        const int PointBegins = 0, Ends = 1, Begins = 2, Slots = 3;
        var beyond = Slots * ages.Length + Ends;
        var left = new int[sample.RowCount];
        var right = new int[sample.RowCount];
        var begins = new bool[beyond + 1];
        var ends = new bool[beyond + 1];
        for (var i = 0; i < sample.RowCount; i++)
        {
            var lower = Slots * Array.BinarySearch(ages, sample.LowerHours[i]);
            left[i] = lower + (sample.Outcomes[i] == LifeOutcome.Failed ? PointBegins : Begins);
            right[i] = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => lower + Ends,
                LifeOutcome.Survived => beyond,
                _ => Slots * Array.BinarySearch(ages, sample.UpperHours[i]) + Ends,
            };
            begins[left[i]] = true;
            ends[right[i]] = true;
        }

        // firstFrom[slot]: the first interval that begins at the slot or later; lastTo[slot]: the last that ends at it or earlier.
        var lowerEnds = new List<double>();
        var upperEnds = new List<double>();
        var firstFrom = new int[beyond + 1];
        var lastTo = new int[beyond + 1];
        var open = -1;
        var filled = 0;
        for (var slot = 0; slot <= beyond; slot++)
        {
            if (begins[slot])
                open = slot;
            if (ends[slot] && open >= 0)
            {
                for (; filled <= open; filled++)
                    firstFrom[filled] = lowerEnds.Count;
                lowerEnds.Add(ages[open / Slots]);
                upperEnds.Add(slot == beyond ? double.PositiveInfinity : ages[slot / Slots]);
                open = -1;
            }

            lastTo[slot] = lowerEnds.Count - 1;
        }

        return Collapsed(sample, [.. lowerEnds], [.. upperEnds], [.. left.Select(s => firstFrom[s])], [.. right.Select(s => lastTo[s])]);
    }

    private static InnermostIntervals Collapsed(LifeSample sample, double[] lower, double[] upper, int[] first, int[] last)
    {
        var keys = new long[first.Length];
        for (var i = 0; i < keys.Length; i++)
            keys[i] = (long)first[i] * lower.Length + last[i];
        var counts = sample.Counts.ToArray();
        Array.Sort(keys, counts);
        var rows = 0;
        for (var i = 0; i < keys.Length; i++)
        {
            if (rows > 0 && keys[rows - 1] == keys[i])
            {
                counts[rows - 1] += counts[i];
                continue;
            }

            (keys[rows], counts[rows]) = (keys[i], counts[i]);
            rows++;
        }

        var total = 0.0;
        for (var i = 0; i < rows; i++)
            total += counts[i];
        return new InnermostIntervals(
            lower, upper,
            [.. keys.Take(rows).Select(k => (int)(k / lower.Length))],
            [.. keys.Take(rows).Select(k => (int)(k % lower.Length))],
            [.. counts.Take(rows).Select(c => c / total)]);
    }

    private static double[] DistinctAges(LifeSample sample)
    {
        double[] ages = [.. sample.LowerHours, .. sample.UpperHours];
        Array.Sort(ages);
        var distinct = 0;
        foreach (var age in ages)
        {
            if (distinct == 0 || age > ages[distinct - 1])
                ages[distinct++] = age;
        }

        return ages[..distinct];
    }
}
