using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>One of two cohorts whose quantities are compared: its constrained fits as its own quantity moves.</summary>
internal sealed class ProfiledCohort
{
    // Where the curvature of the profile is taken from, in standard errors on either side.
    private const double Step = 0.02;

    private readonly ConstraintPath _path;
    private readonly Maximum _fit;
    private readonly Departures _departures;
    private (double U, double V) _last;

    /// <param name="likelihood">The likelihood.</param>
    /// <param name="space">Its maximum.</param>
    /// <param name="quantity">The quantity.</param>
    /// <param name="outcomes">What the lives may come to; null for complete and failure-terminated samples.</param>
    public ProfiledCohort(LogTimeLikelihood likelihood, ParameterSpace space, LifeQuantity quantity, ExpectedOutcomes? outcomes)
    {
        _fit = space.Maximum;
        _path = new(likelihood, quantity);
        _departures = new(likelihood, _fit, outcomes);
        _last = (_fit.U, _fit.V);
        (Estimate, Error) = (quantity.Transformed(space.LifeAt(0, 0)), space.StandardError(quantity));
    }

    /// <summary>The quantity's estimate, on the scale of its bounds.</summary>
    public double Estimate { get; }

    /// <summary>Its standard error there.</summary>
    public double Error { get; }

    /// <summary>The maximum of the likelihood.</summary>
    public double Greatest => _fit.Value;

    /// <summary>The constrained fit at a value of the quantity; null where there is none.</summary>
    public ConstrainedFit? At(double value, CancellationToken cancellationToken)
    {
        var found = _fit.IsOneParameter
            ? _path.AtHeldU(value, _fit.U, _last.V, cancellationToken)
            : _path.At(value, _last, cancellationToken);
        if (found is { } fit)
            _last = (fit.U, fit.V);
        return found;
    }

    /// <summary>How the profile of the likelihood rises with the quantity at a constrained fit.</summary>
    public double Slope(in ConstrainedFit at) => at.GradientV / _path.Gradient(at.U, at.V).V;

    /// <summary>Minus the second derivative of the profile at a value.</summary>
    public double? Curvature(double value, CancellationToken cancellationToken) =>
        At(value + Step * Error, cancellationToken) is { } after && At(value - Step * Error, cancellationToken) is { } before
            ? (Slope(before) - Slope(after)) / (2 * Step * Error)
            : null;

    /// <summary>
    /// S^-1 Q along the quantity, and what the cohort's determinants come to in coordinates (log u, quantity):
    /// |S| / |i| |j(fit)|^(1/2) over the root of the information of log u at the constrained fit.
    /// </summary>
    public (double Along, double Factor) Departure(in ConstrainedFit at)
    {
        var departure = _departures.At(at.U, at.V);
        var gradient = _path.Gradient(at.U, at.V);
        var along = gradient.LogU * departure.LogU + gradient.V * departure.V;
        return (along, departure.Ratio * Math.Sqrt(_departures.Information / at.Information) / Math.Abs(gradient.V));
    }
}
