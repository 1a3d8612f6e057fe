namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// The modified signed root r* = r + log(u / r) / r (Barndorff-Nielsen 1986), nearly standard normal at the true value even in small
/// samples. It falls as the value rises.
/// </summary>
internal abstract class AdjustedRoot(double estimate, double error)
{
    // Nearer to the estimate than this, log(u / r) / r loses its digits and is taken between values at some distance.
    private const double Near = 0.1, Anchor = 0.25;

    private (double Below, double Above)? _anchors;

    /// <summary>The estimate, on the scale on which the value moves.</summary>
    public double Estimate { get; } = estimate;

    /// <summary>Its standard error there.</summary>
    public double Error { get; } = error;

    /// <summary>r* at a value; null where there is none.</summary>
    public double? At(double value, CancellationToken cancellationToken)
    {
        if (Math.Abs(value - Estimate) > 1e-3 * Error)
        {
            if (RootAt(value, cancellationToken) is not { } at)
                return null;
            if (Math.Abs(at.Root) >= Near)
                return at.Root + at.Adjustment;
            return at.Root + BetweenAnchors(value, cancellationToken);
        }

        return (Estimate - value) / Error + BetweenAnchors(value, cancellationToken);
    }

    /// <summary>r and u at a value; null where no constrained fit is found.</summary>
    protected abstract RootAt? RootAt(double value, CancellationToken cancellationToken);

    private double? BetweenAnchors(double value, CancellationToken cancellationToken)
    {
        if (_anchors is null)
        {
            if (RootAt(Estimate - Anchor * Error, cancellationToken)?.Adjustment is not { } below
                || RootAt(Estimate + Anchor * Error, cancellationToken)?.Adjustment is not { } above)
                return null;
            _anchors = (below, above);
        }

        var share = Math.Clamp(0.5 + (value - Estimate) / (2 * Anchor * Error), 0, 1);
        return _anchors.Value.Below + share * (_anchors.Value.Above - _anchors.Value.Below);
    }
}
