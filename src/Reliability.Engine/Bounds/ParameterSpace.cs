using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Bounds;

/// <summary>
/// The parameters around a maximum in units of their standard errors: (u, v) = estimate + L (a, b) with L L' the
/// covariance, so that the log-likelihood falls about as (a^2 + b^2) / 2. With u held only b moves.
/// </summary>
internal sealed class ParameterSpace
{
    private const double Step = 0.02;
    private readonly IStandardDistribution _distribution;
    private readonly LogTimeAxis _axis;
    private readonly double _rootUU;
    private readonly double _rootVU;
    private readonly double _rootVV;

    public ParameterSpace(IStandardDistribution distribution, LogTimeAxis axis, Maximum maximum)
    {
        _distribution = distribution;
        _axis = axis;
        Maximum = maximum;
        if (maximum.IsOneParameter)
        {
            _rootVV = Math.Sqrt(maximum.CovarianceVV);
        }
        else
        {
            _rootUU = Math.Sqrt(maximum.CovarianceUU);
            _rootVU = maximum.CovarianceUV / _rootUU;
            _rootVV = Math.Sqrt(maximum.CovarianceVV - _rootVU * _rootVU);
        }
    }

    public Maximum Maximum { get; }

    public double U(double a) => Maximum.U + _rootUU * a;

    public double V(double a, double b) => Maximum.V + _rootVU * a + _rootVV * b;

    public LogTimeLife LifeAt(double a, double b) => new(_distribution, _axis, U(a), V(a, b));

    /// <summary>The life with u as estimated and another v.</summary>
    public LogTimeLife LifeAtV(double v) => new(_distribution, _axis, Maximum.U, v);

    /// <summary>The gradient of the likelihood, in these units.</summary>
    public (double A, double B) Gradient(in LikelihoodPoint point) =>
        (_rootUU * point.GradientU + _rootVU * point.GradientV, _rootVV * point.GradientV);

    /// <summary>
    /// The gradient of a quantity, in these units: at (0, 0) its length is the standard error. Central differences with
    /// two Richardson extrapolations.
    /// </summary>
    public (double A, double B) Gradient(LifeQuantity quantity, double a, double b)
    {
        var alongB = Derivative(h => quantity.Transformed(LifeAt(a, b + h)), Step);
        if (Maximum.IsOneParameter)
            return (0, alongB);
        var step = Math.Min(Step, 0.2 * U(a) / _rootUU);
        return (Derivative(h => quantity.Transformed(LifeAt(a + h, b)), step), alongB);
    }

    /// <summary>Standard error of a quantity on its transformed scale (delta method).</summary>
    public double StandardError(LifeQuantity quantity)
    {
        var (a, b) = Gradient(quantity, 0, 0);
        return Math.Sqrt(a * a + b * b);
    }

    private static double Derivative(Func<double, double> f, double h)
    {
        var coarse = Central(f, h);
        var middle = Central(f, h / 2);
        var fine = Central(f, h / 4);
        var first = (4 * middle - coarse) / 3;
        var second = (4 * fine - middle) / 3;
        return (16 * second - first) / 15;
    }

    private static double Central(Func<double, double> f, double h) => (f(h) - f(-h)) / (2 * h);
}
