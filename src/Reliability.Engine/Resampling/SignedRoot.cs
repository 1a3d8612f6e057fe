using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Resampling;

/// <summary>The signed root r of the likelihood ratio of a quantity, without what r* adds.</summary>
internal sealed class SignedRoot(LogTimeLikelihood likelihood, ParameterSpace space, LifeQuantity quantity)
    : AdjustedRoot(quantity.Transformed(space.LifeAt(0, 0)), space.StandardError(quantity))
{
    private readonly ConstraintPath _path = new(likelihood, quantity);
    private (double U, double V) _last = (space.Maximum.U, space.Maximum.V);

    /// <summary>The highest likelihood among parameters that give the quantity a value; null where none is found.</summary>
    public ConstrainedFit? Constrained(double value, CancellationToken cancellationToken)
    {
        var found = _path.At(value, _last, cancellationToken);
        if (found is { } at)
            _last = (at.U, at.V);
        return found;
    }

    /// <summary>r at a value, given the constrained fit there.</summary>
    public double Of(double value, in ConstrainedFit constrained) =>
        Math.Sign(Estimate - value) * Math.Sqrt(Math.Max(0, 2 * (space.Maximum.Value - constrained.Value)));

    protected override RootAt? RootAt(double value, CancellationToken cancellationToken)
    {
        if (Constrained(value, cancellationToken) is not { } constrained)
            return null;
        var root = Of(value, constrained);
        return new(root, root);
    }
}
