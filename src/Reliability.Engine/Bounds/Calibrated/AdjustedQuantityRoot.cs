using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// r* of a quantity where two parameters are estimated, on the scale of its bounds: in the tangent exponential form for complete and
/// failure-terminated samples (Fraser, Reid and Wu 1999), else in Skovgaard's (1996) over what the lives may come to.
/// </summary>
internal sealed class AdjustedQuantityRoot : AdjustedRoot
{
    private readonly LogTimeLikelihood _likelihood;
    private readonly ConstraintPath _path;
    private readonly ExpectedOutcomes? _outcomes;
    private readonly Maximum _fit;
    private readonly double _logDeterminant;
    private readonly ObservedTilt _tilt;
    private (double U, double V) _last;

    /// <param name="likelihood">The likelihood.</param>
    /// <param name="space">Its maximum.</param>
    /// <param name="quantity">The quantity.</param>
    /// <param name="outcomes">What the lives may come to; null for complete and failure-terminated samples.</param>
    public AdjustedQuantityRoot(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeQuantity quantity, ExpectedOutcomes? outcomes)
        : base(quantity.Transformed(space.LifeAt(0, 0)), space.StandardError(quantity))
    {
        (_likelihood, _fit, _outcomes) = (likelihood, space.Maximum, outcomes);
        _path = new(likelihood, quantity);
        _last = (_fit.U, _fit.V);
        // Information by (log u, v): that by (u, v) times u^2.
        _logDeterminant = 2 * Math.Log(_fit.U)
            - Math.Log(_fit.CovarianceUU * _fit.CovarianceVV - _fit.CovarianceUV * _fit.CovarianceUV);
        if (outcomes is null)
            _tilt = ObservedTilt.At(likelihood, _fit.U, _fit.V);
    }

    protected override RootAt? RootAt(double value, CancellationToken cancellationToken)
    {
        if (_path.At(value, _last, cancellationToken) is not { } constrained)
            return null;
        _last = (constrained.U, constrained.V);
        var root = Math.Sign(Estimate - value) * Math.Sqrt(Math.Max(0, 2 * (_fit.Value - constrained.Value)));
        return new(root, _outcomes is null ? Tangent(constrained, root) : Skovgaard(constrained, _outcomes));
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

    private double Skovgaard(ConstrainedFit at, ExpectedOutcomes outcomes)
    {
        var moments = outcomes.With((at.U, at.V));
        var gradient = _path.Gradient(at.U, at.V);
        var (byLogU, byV) = moments.Difference;
        // How much of (log u, v) a unit of the quantity is, at fixed log u.
        var jacobian = at.HoldsU ? 1 : 1 / Math.Abs(gradient.V);
        return (gradient.LogU * byLogU + gradient.V * byV) * moments.Ratio * jacobian
            * Math.Exp(0.5 * (_logDeterminant - Math.Log(at.Information)));
    }
}
