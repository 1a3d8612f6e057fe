using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// The log-likelihood in the cumulative hazards x of the intervals: the sum of w log(1 - exp(-y)) over rows of failures, y the hazard
/// that a row covers, less the sum of cost times x. In these it is concave, with late entry too (in masses it is not: there the
/// chances of having reached the entry ages stand in the denominators). Rows cover runs of intervals, so each costs two look-ups in
/// running sums, whatever its length.
/// </summary>
internal sealed class HazardLikelihood
{
    private readonly InnermostIntervals _intervals;
    private readonly double[] _y;
    private readonly CompensatedSum[] _running;
    private readonly CompensatedSum[] _changes;

    public HazardLikelihood(InnermostIntervals intervals)
    {
        _intervals = intervals;
        Size = intervals.Costs.Length;
        _y = new double[intervals.Weights.Length];
        _running = new CompensatedSum[Size + 1];
        _changes = new CompensatedSum[Size + 1];
        Slope = new double[Size];
    }

    /// <summary>Number of intervals with a hazard to be found.</summary>
    public int Size { get; }

    /// <summary>Derivative of the rows' part in each hazard: the cost where there is hazard at the maximum, and nowhere more.</summary>
    public double[] Slope { get; }

    /// <summary>Weight of each row's curvature in the hazard it covers.</summary>
    public void Curvatures(double[] into)
    {
        for (var i = 0; i < _y.Length; i++)
        {
            var half = 2 * Math.Sinh(_y[i] / 2);
            into[i] = _intervals.Weights[i] / half / half;
        }
    }

    /// <summary>The log-likelihood of a life, on average.</summary>
    public double LogLikelihood(double[] hazards)
    {
        var sum = 0.0;
        for (var i = 0; i < _y.Length; i++)
            sum += _intervals.Weights[i] * NearZero.Log1mExp(-_y[i]);
        for (var j = 0; j < Size; j++)
            sum -= _intervals.Costs[j] * hazards[j];
        return sum;
    }

    /// <summary>Sets the hazards at which the values hold.</summary>
    public void Set(double[] hazards)
    {
        CompensatedSum sum = default;
        for (var j = 0; j < Size; j++)
        {
            sum.Add(hazards[j]);
            _running[j + 1] = sum;
        }

        var (first, last, weights) = (_intervals.First, _intervals.Last, _intervals.Weights);
        Array.Clear(_changes);
        for (var i = 0; i < _y.Length; i++)
        {
            var (a, b) = (first[i], last[i]);
            _y[i] = a == b ? hazards[a] : _running[b + 1].Less(_running[a]);
            var pull = weights[i] / NearZero.Expm1(_y[i]);
            _changes[a].Add(pull);
            _changes[b + 1].Add(-pull);
        }

        sum = default;
        for (var j = 0; j < Size; j++)
        {
            sum.Add(_changes[j]);
            Slope[j] = sum.Value;
        }
    }

    /// <summary>
    /// How far the hazards are from the conditions of a maximum, in parts of the cost: the greatest slope beyond the cost, or
    /// distance from it where there is hazard.
    /// </summary>
    public double Violation(double[] hazards)
    {
        var worst = 0.0;
        for (var j = 0; j < Size; j++)
        {
            var beyond = Slope[j] / _intervals.Costs[j] - 1;
            worst = double.IsNaN(beyond) ? double.PositiveInfinity : Math.Max(worst, hazards[j] > 0 ? Math.Abs(beyond) : beyond);
        }

        return worst;
    }
}
