using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Prediction;

/// <summary>
/// Weibull lives of known ages: with S = sum of t^shape - entry^shape over all lives and r failures, S / scale^shape given the shape is
/// Gamma(r), so that v integrates out of likelihood and prediction (Lawless 2003, ch. 5, for the pivotal form).
/// </summary>
internal sealed class GammaLayer : LocationLayer
{
    private readonly LogTimeAxis _axis;
    private readonly double _failures;
    private readonly double _sumOfFailures;
    private readonly bool _isLate;
    private readonly (double X, double Watched, double Count)[] _lives;

    /// <param name="sample">The lives.</param>
    public GammaLayer(LogTimeSample sample)
    {
        var lives = sample.Lives;
        (_axis, _failures, _isLate) = (sample.Axis, sample.TotalFailed, lives.HasLateEntry);
        _lives = new (double, double, double)[lives.RowCount];
        for (var i = 0; i < _lives.Length; i++)
        {
            var (hours, entry, count) = (lives.LowerHours[i], lives.EntryHours[i], lives.Counts[i]);
            var x = _axis.ToX(hours);
            _lives[i] = (x, entry > 0 ? LogTimeAxis.LogRatio(hours, entry) : double.PositiveInfinity, count);
            if (lives.Outcomes[i] == LifeOutcome.Failed)
                _sumOfFailures += count * x;
        }
    }

    /// <inheritdoc/>
    public override double LogMass(double u, double watched)
    {
        if (_failures == 0)
            return 0;
        var exposure = LogExposure(u);
        var mass = _failures * (Math.Log(u) - exposure) + u * _sumOfFailures;
        return watched == 0 || !_isLate ? mass : mass + watched * (exposure - LogToEnds(u));
    }

    /// <summary>log of the sum of (t / reference)^u - (entry / reference)^u.</summary>
    public double LogExposure(double u)
    {
        if (!_isLate)
            return LogToEnds(u);
        double sum = 0;
        foreach (var (x, watched, count) in _lives)
            sum -= count * Math.Exp(u * x) * NearZero.Expm1(-u * watched);
        return Math.Log(sum);
    }

    /// <inheritdoc/>
    public override PredictiveLife? Predict(IReadOnlyList<(double U, double Weight)> nodes, PriorTilt tilt)
    {
        var mixed = new GammaNode[nodes.Count];
        for (var i = 0; i < mixed.Length; i++)
        {
            var exposure = LogExposure(nodes[i].U);
            if (!double.IsFinite(exposure))
                return null;
            mixed[i] = new(nodes[i].Weight, nodes[i].U, exposure);
        }

        return new GammaPredictiveLife(_axis, mixed, _failures + tilt.Scale);
    }

    private double LogToEnds(double u)
    {
        double sum = 0;
        foreach (var (x, _, count) in _lives)
            sum += count * Math.Exp(u * x);
        return Math.Log(sum);
    }
}
