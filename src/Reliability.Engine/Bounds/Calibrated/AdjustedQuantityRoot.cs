using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// r* of a quantity where two parameters are estimated, on the scale of its bounds: in the tangent exponential form for complete and
/// failure-terminated samples (Fraser, Reid and Wu 1999), else in Skovgaard's (1996) over what the lives may come to.
/// </summary>
internal sealed class AdjustedQuantityRoot : AdjustedRoot
{
    private readonly ConstraintPath _path;
    private readonly Departures _departures;
    private readonly Maximum _fit;
    private (double U, double V) _last;

    /// <param name="likelihood">The likelihood.</param>
    /// <param name="space">Its maximum.</param>
    /// <param name="quantity">The quantity.</param>
    /// <param name="outcomes">What the lives may come to; null for complete and failure-terminated samples.</param>
    public AdjustedQuantityRoot(
        LogTimeLikelihood likelihood, ParameterSpace space, LifeQuantity quantity, ExpectedOutcomes? outcomes)
        : base(quantity.Transformed(space.LifeAt(0, 0)), space.StandardError(quantity))
    {
        _fit = space.Maximum;
        _path = new(likelihood, quantity);
        _departures = new(likelihood, _fit, outcomes);
        _last = (_fit.U, _fit.V);
    }

    protected override RootAt? RootAt(double value, CancellationToken cancellationToken)
    {
        if (_path.At(value, _last, cancellationToken) is not { } constrained)
            return null;
        _last = (constrained.U, constrained.V);
        var root = Math.Sign(Estimate - value) * Math.Sqrt(Math.Max(0, 2 * (_fit.Value - constrained.Value)));
        var departure = _departures.At(constrained.U, constrained.V);
        var gradient = _path.Gradient(constrained.U, constrained.V);

        // How much of (log u, v) a unit of the quantity is, at fixed log u.
        var jacobian = constrained.HoldsU ? 1 : 1 / Math.Abs(gradient.V);
        return new(root, departure.Along(gradient) * jacobian * Math.Sqrt(_departures.Information / constrained.Information));
    }
}
