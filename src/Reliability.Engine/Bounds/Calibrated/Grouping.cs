namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>Positions put into at most so many groups of neighbours, each at the mean of its own; infinite ones stay apart.</summary>
internal sealed class Grouping
{
    private readonly Dictionary<double, int> _indices = [];

    private Grouping(double[] positions) => Positions = positions;

    /// <summary>Positions of the groups, rising.</summary>
    public double[] Positions { get; private set; }

    /// <summary>The group of a position that was given.</summary>
    public int IndexOf(double position) => _indices[position];

    public static Grouping Of(IEnumerable<(double At, double Count)> positions, int most)
    {
        var distinct = positions.GroupBy(row => row.At).Select(rows => (At: rows.Key, Count: rows.Sum(row => row.Count)))
            .OrderBy(row => row.At).ToList();
        var grouping = new Grouping([]);
        var share = Math.Max(1, (int)Math.Ceiling(distinct.Count / (double)most));
        var means = new List<double>();
        for (var i = 0; i < distinct.Count;)
        {
            double sum = 0, count = 0;
            var first = i;
            for (; i < distinct.Count && i - first < share; i++)
            {
                var (at, lives) = distinct[i];
                if (i > first && double.IsInfinity(at) != double.IsInfinity(distinct[first].At))
                    break;
                grouping._indices[at] = means.Count;
                sum += double.IsInfinity(at) ? at : at * lives;
                count += lives;
            }

            means.Add(double.IsInfinity(sum) ? sum : i - first == 1 ? distinct[first].At : sum / count);
        }

        grouping.Positions = [.. means];
        return grouping;
    }
}
