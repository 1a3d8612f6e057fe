using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// How far constrained fits of one sample lie from its fit: in the tangent exponential form for complete and failure-terminated samples
/// (Fraser, Reid and Wu 1999), else in Skovgaard's (1996) over what the lives may come to.
/// </summary>
/// <remarks>
/// In an exponential family with canonical parameter phi Skovgaard's S^-1 Q is the inverse of phi's derivatives at the constrained fit
/// times phi(fit) - phi(constrained), and |S| / |i| the ratio of their determinants: so both forms are one.
/// </remarks>
internal sealed class Departures
{
    private readonly LogTimeLikelihood _likelihood;
    private readonly ExpectedOutcomes? _outcomes;
    private readonly bool _isOneParameter;
    private readonly ObservedTilt _tilt;

    /// <param name="likelihood">The likelihood.</param>
    /// <param name="fit">Its maximum.</param>
    /// <param name="outcomes">What the lives may come to; null for complete and failure-terminated samples.</param>
    public Departures(LogTimeLikelihood likelihood, Maximum fit, ExpectedOutcomes? outcomes)
    {
        (_likelihood, _outcomes, _isOneParameter) = (likelihood, outcomes, fit.IsOneParameter);

        // Information by (log u, v): that by (u, v) times u^2.
        Information = _isOneParameter
            ? 1 / fit.CovarianceVV
            : fit.U * fit.U / (fit.CovarianceUU * fit.CovarianceVV - fit.CovarianceUV * fit.CovarianceUV);
        if (outcomes is null)
            _tilt = ObservedTilt.At(likelihood, fit.U, fit.V);
    }

    /// <summary>Determinant of the observed information at the fit, by (log u, v), or by v alone where u is held.</summary>
    public double Information { get; }

    /// <summary>The departure of a constrained fit.</summary>
    public Departure At(double u, double v)
    {
        if (_outcomes is not null)
        {
            var moments = _outcomes.With((u, v));
            return _isOneParameter ? moments.DepartureOfV : moments.Departure;
        }

        var tilt = ObservedTilt.At(_likelihood, u, v);
        double first = _tilt.First - tilt.First, second = _tilt.Second - tilt.Second;
        if (_isOneParameter)
            return new(0, second / tilt.SecondByV, tilt.SecondByV / _tilt.SecondByV);
        return new(
            (tilt.SecondByV * first - tilt.FirstByV * second) / tilt.Determinant,
            (tilt.FirstByLogU * second - tilt.SecondByLogU * first) / tilt.Determinant,
            tilt.Determinant / _tilt.Determinant);
    }
}
