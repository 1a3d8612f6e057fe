using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// The modified signed root r* of one quantity (Barndorff-Nielsen 1986), nearly standard normal at the true value even in small
/// samples: in the tangent exponential form for complete and failure-terminated samples (Fraser, Reid and Wu 1999), else in
/// Skovgaard's (1996) under a censoring plan.
/// </summary>
internal sealed class AdjustedRoot
{
    private const double NearEstimate = 0.1;

    private readonly LogTimeLikelihood _likelihood;
    private readonly ConstraintPath _path;
    private readonly CensoringPlan? _plan;
    private readonly Maximum _fit;
    private readonly double _logDeterminant;
    private readonly ObservedTilt _tilt;
    private (double U, double V) _last;

    /// <param name="likelihood">The likelihood.</param>
    /// <param name="fit">Its maximum.</param>
    /// <param name="quantity">The quantity.</param>
    /// <param name="plan">The censoring plan; null for complete and failure-terminated samples.</param>
    public AdjustedRoot(LogTimeLikelihood likelihood, Maximum fit, LifeQuantity quantity, CensoringPlan? plan)
    {
        (_likelihood, _fit, _plan) = (likelihood, fit, plan);
        _path = new(likelihood, quantity);
        Estimate = _path.Psi(fit.U, fit.V);
        _last = (fit.U, fit.V);
        // Information by (log u, v): that by (u, v) times u^2.
        _logDeterminant = 2 * Math.Log(fit.U)
            - Math.Log(fit.CovarianceUU * fit.CovarianceVV - fit.CovarianceUV * fit.CovarianceUV);
        if (plan is null)
            _tilt = ObservedTilt.At(likelihood, fit.U, fit.V);
    }

    /// <summary>The estimate of the quantity, on the scale of its bounds.</summary>
    public double Estimate { get; }

    /// <summary>
    /// r* at a value of the quantity on the scale of its bounds: falls from the estimate's 0 as the value rises. Null where there is
    /// none. Not for values at the estimate, where it is taken between neighbours.
    /// </summary>
    public double? At(double psi, CancellationToken cancellationToken)
    {
        if (_path.At(psi, _last, cancellationToken) is not { } constrained)
            return null;
        _last = (constrained.U, constrained.V);
        var root = Math.Sign(Estimate - psi) * Math.Sqrt(Math.Max(0, 2 * (_fit.Value - constrained.Value)));
        if (Math.Abs(root) < NearEstimate)
            return double.NaN;
        var departure = _plan is null ? Tangent(constrained, root) : Skovgaard(constrained, _plan);
        var ratio = departure / root;
        return ratio > 0 && double.IsFinite(ratio) ? root + Math.Log(ratio) / root : null;
    }

    private double Tangent(ConstrainedFit at, double root)
    {
        var tilt = ObservedTilt.At(_likelihood, at.U, at.V);
        double first = _tilt.First - tilt.First, second = _tilt.Second - tilt.Second;
        var (alongFirst, alongSecond) = at.HoldsU
            ? (tilt.FirstByV, tilt.SecondByV)
            : (tilt.FirstByLogU + tilt.FirstByV * at.SlopeV, tilt.SecondByLogU + tilt.SecondByV * at.SlopeV);
        var above = first * alongSecond - second * alongFirst;
        var below = _tilt.FirstByLogU * _tilt.SecondByV - _tilt.FirstByV * _tilt.SecondByLogU;
        return Math.Sign(root) * Math.Abs(above / below) * Math.Exp(0.5 * (_logDeterminant - Math.Log(at.Information)));
    }

    private double Skovgaard(ConstrainedFit at, CensoringPlan plan)
    {
        var moments = ScoreMoments.Of(_likelihood.Distribution, plan, (_fit.U, _fit.V), (at.U, at.V));
        var gradient = _path.Gradient(at.U, at.V);
        var (byLogU, byV) = moments.Difference;
        // How much of (log u, v) a unit of the quantity is, at fixed log u.
        var jacobian = at.HoldsU ? 1 : 1 / Math.Abs(gradient.V);
        return (gradient.LogU * byLogU + gradient.V * byV) * moments.Ratio * jacobian
            * Math.Exp(0.5 * (_logDeterminant - Math.Log(at.Information)));
    }
}
