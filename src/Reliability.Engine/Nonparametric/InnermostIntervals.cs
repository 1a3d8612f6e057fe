using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Where a maximum can put hazard: a left end followed at once by a right end among the ends of all observations (Turnbull 1976;
/// Peto 1973), where an age of entry is a right end too (Frydman 1994; Alioum and Commenges 1996). A failure at t is the point t, one
/// between two ages (lower, upper], a survivor of t begins just beyond t. Each failure covers a run of intervals; equal runs are one
/// row with their counts added. Intervals that no failure covers are left out.
/// </summary>
internal sealed class InnermostIntervals
{
    // At one age: a point begins, then what ends at it ends, then what begins beyond it begins.
    private const int PointBegins = 0, Ends = 1, Begins = 2, Slots = 3;

    private InnermostIntervals(
        double[] lower, double[] upper, double[] costs, bool allFailInLast, int[] first, int[] last, double[] weights)
    {
        Lower = lower;
        Upper = upper;
        Costs = costs;
        AllFailInLast = allFailInLast;
        First = first;
        Last = last;
        Weights = weights;
    }

    /// <summary>Lower ends, exclusive; equal to <see cref="Upper"/> for a point.</summary>
    public double[] Lower { get; }

    /// <summary>Upper ends, inclusive.</summary>
    public double[] Upper { get; }

    /// <summary>
    /// For each interval but one that takes all, the share of all lives that were watched through it and outlived it, above 0: what
    /// hazard there costs.
    /// </summary>
    public double[] Costs { get; }

    /// <summary>
    /// Whether there is one interval more than <see cref="Costs"/>, the last, that no life is known to have outlived: hazard there
    /// costs nothing, and the curve falls to 0. What comes after says nothing of the curve.
    /// </summary>
    public bool AllFailInLast { get; }

    /// <summary>First interval that each row of failures covers.</summary>
    public int[] First { get; }

    /// <summary>Last interval that each row of failures covers.</summary>
    public int[] Last { get; }

    /// <summary>Share of all lives that each row stands for.</summary>
    public double[] Weights { get; }

    /// <summary>Finds the innermost intervals of a sample with rows.</summary>
    public static InnermostIntervals Of(LifeSample sample)
    {
        var ages = DistinctAges(sample);
        int Slot(double age, int place) => Slots * Array.BinarySearch(ages, age) + place;
        var rows = sample.RowCount;
        var (left, right, entry) = (new int[rows], new int[rows], new int[rows]);
        var begins = new bool[Slots * ages.Length];
        var ends = new bool[begins.Length];
        for (var i = 0; i < rows; i++)
        {
            var outcome = sample.Outcomes[i];
            left[i] = Slot(sample.LowerHours[i], outcome == LifeOutcome.Failed ? PointBegins : Begins);
            right[i] = outcome == LifeOutcome.Survived ? -1 : Slot(sample.UpperHours[i], Ends);
            entry[i] = sample.EntryHours[i] > 0 ? Slot(sample.EntryHours[i], Ends) : -1;
            begins[left[i]] = true;
            if (right[i] >= 0)
                ends[right[i]] = true;
            if (entry[i] >= 0)
                ends[entry[i]] = true;
        }

        // firstFrom[slot]: the first interval that begins at the slot or later; lastTo[slot]: the last that ends at it or earlier.
        var lowerEnds = new List<double>();
        var upperEnds = new List<double>();
        var firstFrom = new int[begins.Length + 1];
        var lastTo = new int[begins.Length];
        var (open, filled) = (-1, 0);
        for (var slot = 0; slot < begins.Length; slot++)
        {
            if (begins[slot])
                open = slot;
            if (ends[slot] && open >= 0)
            {
                for (; filled <= open; filled++)
                    firstFrom[filled] = lowerEnds.Count;
                lowerEnds.Add(ages[open / Slots]);
                upperEnds.Add(ages[slot / Slots]);
                open = -1;
            }

            lastTo[slot] = lowerEnds.Count - 1;
        }

        for (; filled < firstFrom.Length; filled++)
            firstFrom[filled] = lowerEnds.Count;
        var first = Array.ConvertAll(left, slot => firstFrom[slot]);
        var last = Array.ConvertAll(right, slot => slot < 0 ? -1 : lastTo[slot]);
        var watched = Array.ConvertAll(entry, slot => firstFrom[slot + 1]);
        return Kept(sample, [.. lowerEnds], [.. upperEnds], watched, first, last);
    }

    /// <summary>Leaves out what says nothing of the curve.</summary>
    private static InnermostIntervals Kept(
        LifeSample sample, double[] lower, double[] upper, int[] watched, int[] first, int[] last)
    {
        var (costs, outlived) = CostsOf(sample, lower.Length, watched, first);
        var covered = Covered(lower.Length, first, last);
        var takesAll = Enumerable.Range(0, lower.Length).FirstOrDefault(j => covered[j] && outlived[j] == 0, lower.Length);
        var allFailInLast = takesAll < lower.Length;

        // Failures that the interval which takes all may hold have it for certain; those beyond it say nothing of the curve.
        int[] rows = [.. Enumerable.Range(0, first.Length).Where(i => last[i] >= first[i] && last[i] < takesAll)];
        covered = Covered(lower.Length, [.. rows.Select(i => first[i])], [.. rows.Select(i => last[i])]);
        int[] kept = [.. Enumerable.Range(0, takesAll).Where(j => covered[j])];
        int[] given = allFailInLast ? [.. kept, takesAll] : kept;
        var places = new int[lower.Length];
        for (var k = 0; k < kept.Length; k++)
            places[kept[k]] = k;
        var keys = Array.ConvertAll(rows, i => (long)places[first[i]] * lower.Length + places[last[i]]);
        var counts = Array.ConvertAll(rows, i => sample.Counts[i] / sample.TotalCount);
        var distinct = Collapse(keys, counts);
        return new InnermostIntervals(
            [.. given.Select(j => lower[j])], [.. given.Select(j => upper[j])], [.. kept.Select(j => costs[j])], allFailInLast,
            [.. keys.Take(distinct).Select(k => (int)(k / lower.Length))], [.. keys.Take(distinct).Select(k => (int)(k % lower.Length))], counts[..distinct]);
    }

    /// <summary>The share and the number of rows that were watched through each interval and outlived it.</summary>
    private static (double[] Share, int[] Rows) CostsOf(LifeSample sample, int size, int[] watched, int[] first)
    {
        var changes = new CompensatedSum[size + 1];
        var rows = new int[size + 1];
        for (var i = 0; i < first.Length; i++)
        {
            if (watched[i] >= first[i])
                continue;
            changes[watched[i]].Add(sample.Counts[i] / sample.TotalCount);
            changes[first[i]].Add(-(sample.Counts[i] / sample.TotalCount));
            rows[watched[i]]++;
            rows[first[i]]--;
        }

        var share = new double[size];
        CompensatedSum sum = default;
        for (var j = 0; j < size; j++)
        {
            sum.Add(changes[j]);
            rows[j] += j == 0 ? 0 : rows[j - 1];
            share[j] = sum.Value;
        }

        return (share, rows);
    }

    private static bool[] Covered(int size, int[] first, int[] last)
    {
        var changes = new int[size + 1];
        for (var i = 0; i < first.Length; i++)
        {
            if (last[i] < first[i])
                continue;
            changes[first[i]]++;
            changes[last[i] + 1]--;
        }

        var sum = 0;
        return [.. changes.Take(size).Select(c => (sum += c) > 0)];
    }

    /// <summary>Sorts rows by key and adds up the counts of equal ones; gives how many are left.</summary>
    private static int Collapse(long[] keys, double[] counts)
    {
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

        return rows;
    }

    private static double[] DistinctAges(LifeSample sample)
    {
        double[] ages = [.. sample.LowerHours, .. sample.UpperHours, .. sample.EntryHours];
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
