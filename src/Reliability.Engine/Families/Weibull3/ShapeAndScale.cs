using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Families;

/// <summary>The best Weibull of the lives less a location.</summary>
/// <param name="Location">The location, hours.</param>
/// <param name="Likelihood">The likelihood of the lives less it.</param>
/// <param name="Maximum">Its maximum; one-parameter where the shape is held at its limit.</param>
internal sealed record ShapeAndScale(double Location, LogTimeLikelihood Likelihood, Maximum Maximum)
{
    /// <summary>Its log-likelihood.</summary>
    public double Value => Maximum.Value;

    /// <summary>Its shape.</summary>
    public double Shape => Maximum.U;

    /// <summary>Shape, scale and location.</summary>
    public double[] Parameters => NaturalAt(Maximum.U, Maximum.V);

    /// <summary>Shape, scale and location of other members at the same location.</summary>
    public double[] NaturalAt(double u, double v) =>
        [u, Math.Exp(new LogTimeLife(Likelihood.Distribution, Likelihood.Sample.Axis, u, v).Location), Location];
}
