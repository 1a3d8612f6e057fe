namespace Reliability.Engine.Resampling;

/// <summary>
/// Eight replicates of a Weibull sample as they are worked on: life after life, eight numbers each. Under the simulated parameters
/// (u, v) a life's hazard is exponential, and its logarithm w the position z = u x + v; replicates are fitted in z, where they differ by
/// the plan alone, and the fit is carried back.
/// </summary>
internal sealed class WeibullBlock
{
    private readonly ReplicatePlan _plan;
    private readonly double _u, _v;
    private readonly double[] _ends;
    private readonly double[] _endHazards;
    private readonly int[] _drawn;

    /// <param name="plan">How samples come about.</param>
    /// <param name="u">u of the simulated life.</param>
    /// <param name="v">v of the simulated life.</param>
    public WeibullBlock(ReplicatePlan plan, double u, double v)
    {
        (_plan, _u, _v) = (plan, u, v);
        Rows = plan.IsFailureTerminated ? plan.Watched.Length : plan.Lives.Length;
        Hazards = new double[Rows * EightStreams.Count];
        Positions = new double[Hazards.Length];
        if (plan.IsFailureTerminated)
        {
            _ends = _endHazards = [];
            _drawn = [];
            return;
        }

        _drawn = [.. Enumerable.Range(0, Rows).Where(i => double.IsNaN(plan.Lives[i].End))];
        var width = _drawn.Length > 0 ? EightStreams.Count : 1;
        _ends = new double[Rows * width];
        _endHazards = new double[Rows * width];
        for (var i = 0; i < Rows; i++)
        {
            for (var k = 0; k < width; k++)
                SetEnd(i * width + k, plan.Lives[i].End);
        }
    }

    /// <summary>Lives, or failures where observation ended at one.</summary>
    public int Rows { get; }

    /// <summary>Uniform numbers first, then hazards at the ends of lives.</summary>
    public double[] Hazards { get; }

    /// <summary>Logarithms of the hazards.</summary>
    public double[] Positions { get; }

    /// <summary>Where lives are stopped, as z: one number a life, or eight where some are drawn.</summary>
    public double[] Ends => _ends;

    /// <summary>The hazards there.</summary>
    public double[] EndHazards => _endHazards;

    public bool EndsDiffer => _drawn.Length > 0;

    /// <summary>Lives watched before each failure where observation ended at one; else empty.</summary>
    public double[] Watched => _plan.Watched;

    /// <summary>Lives that end at each failure.</summary>
    public double[] Ending => _plan.Ending;

    /// <summary>Draws what is random of eight replicates.</summary>
    public void Draw(ulong seed, int first)
    {
        EightStreams.Fill(Hazards, seed, first);
        if (_drawn.Length == 0)
            return;
        for (var k = 0; k < EightStreams.Count; k++)
        {
            var stream = new ReplicateStream(seed, first + k, 1);
            foreach (var i in _drawn)
                SetEnd(i * EightStreams.Count + k, _plan.End(_plan.Lives[i], stream.Next()));
        }
    }

    /// <summary>Carries a fit in z back to the sample's log axis: (u, v) and their covariance.</summary>
    /// <param name="fits">Takes the fit.</param>
    /// <param name="index">The replicate.</param>
    /// <param name="u">u of the fit in z.</param>
    /// <param name="v">v of the fit on an axis z - greatest.</param>
    /// <param name="greatest">The greatest z of the replicate.</param>
    /// <param name="covariance">Covariance of that (u, v).</param>
    public void Carry(ReplicateFits fits, int index, double u, double v, double greatest, (double UU, double UV, double VV) covariance)
    {
        var shift = _v - greatest;
        var (uu, uv, vv) = covariance;
        fits.Set(
            index, _u * u, v + u * shift, _u * _u * uu, _u * (uv + shift * uu), vv + shift * (2 * uv + shift * uu));
    }

    /// <summary>The position on the sample's log axis of a z.</summary>
    public double PositionOf(double z) => (z - _v) / _u;

    private void SetEnd(int index, double x)
    {
        var z = _u * x + _v;
        (_ends[index], _endHazards[index]) = (z, Math.Exp(z));
    }
}
