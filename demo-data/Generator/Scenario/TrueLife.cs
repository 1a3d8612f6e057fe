using MathNet.Numerics;
using Reliability.DemoData.Randomness;

namespace Reliability.DemoData.Scenario;

/// <summary>The Weibull distribution from which lives are drawn: the stated truth that answers are checked against.</summary>
/// <param name="Shape">Shape, a pure number.</param>
/// <param name="Scale">Scale in run-hours: the age by which 63.2 % have failed.</param>
internal sealed record TrueLife(double Shape, double Scale)
{
    /// <summary>Mean life in run-hours.</summary>
    public double MeanHours => Scale * SpecialFunctions.Gamma(1 + 1 / Shape);

    /// <summary>The age in run-hours by which the given fraction has failed; 0.10 gives the B10 life.</summary>
    public double PercentileHours(double failureFraction) =>
        Scale * Math.Pow(-Math.Log(1 - failureFraction), 1 / Shape);

    /// <summary>The chance to outlast the given age in run-hours.</summary>
    public double Reliability(double hours) => Math.Exp(-Math.Pow(hours / Scale, Shape));

    /// <summary>Draws a life in run-hours by inversion.</summary>
    public double Draw(Xoshiro256 random) => PercentileHours(random.NextFraction());
}
