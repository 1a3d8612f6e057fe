namespace Reliability.Engine.Nonparametric;

/// <summary>
/// The log-likelihood sum of w_i log P_i, where P_i is the mass that row i covers, with its derivatives. Rows cover runs of
/// intervals, so each costs two look-ups in running sums, whatever its length.
/// </summary>
internal sealed class CoverLikelihood
{
    private readonly InnermostIntervals _intervals;

    // Running sums of mass in two parts (Knuth's two-sum): a difference of two then keeps its digits when it is tiny.
    private readonly double[] _sum;
    private readonly double[] _rest;

    public CoverLikelihood(InnermostIntervals intervals)
    {
        _intervals = intervals;
        Size = intervals.Lower.Length;
        _sum = new double[Size + 1];
        _rest = new double[Size + 1];
        Covered = new double[intervals.Weights.Length];
        Slope = new double[Size];
    }

    /// <summary>Number of intervals.</summary>
    public int Size { get; }

    /// <summary>Mass that each row covers, at the last point set.</summary>
    public double[] Covered { get; }

    /// <summary>
    /// Derivative in each mass, the sum of w_i / P_i over the rows that cover it: 1 where there is mass at the maximum, and
    /// nowhere more.
    /// </summary>
    public double[] Slope { get; }

    public double LogLikelihood
    {
        get
        {
            var sum = 0.0;
            for (var i = 0; i < Covered.Length; i++)
                sum += _intervals.Weights[i] * Math.Log(Covered[i]);
            return sum;
        }
    }

    /// <summary>Sets the masses at which the values hold.</summary>
    public void Set(double[] masses)
    {
        double sum = 0, rest = 0;
        for (var j = 0; j < Size; j++)
        {
            var next = sum + masses[j];
            var part = next - sum;
            rest += (sum - (next - part)) + (masses[j] - part);
            sum = next;
            _sum[j + 1] = sum;
            _rest[j + 1] = rest;
        }

        var (first, last, weights) = (_intervals.First, _intervals.Last, _intervals.Weights);
        Array.Clear(Slope);
        for (var i = 0; i < Covered.Length; i++)
        {
            int a = first[i], b = last[i];
            var covered = a == b ? masses[a] : _sum[b + 1] - _sum[a] + (_rest[b + 1] - _rest[a]);
            Covered[i] = covered;
            var pull = weights[i] / covered;
            Slope[a] += pull;
            if (b + 1 < Size)
                Slope[b + 1] -= pull;
        }

        for (var j = 1; j < Size; j++)
            Slope[j] += Slope[j - 1];
    }

    /// <summary>
    /// How far the masses are from the conditions of a maximum: the greatest slope over 1, or distance from 1 where there
    /// is mass.
    /// </summary>
    public double Violation(double[] masses)
    {
        var worst = 0.0;
        for (var j = 0; j < Size; j++)
            worst = Math.Max(worst, masses[j] > 0 ? Math.Abs(Slope[j] - 1) : Slope[j] - 1);
        return worst;
    }
}
