using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>A Weibull times a share, at log ages.</summary>
/// <param name="LogShare">Log of the share.</param>
/// <param name="Shape">Shape.</param>
/// <param name="LogScale">Log of the scale.</param>
internal readonly record struct WeightedWeibull(double LogShare, double Shape, double LogScale)
{
    /// <summary>Mean life, hours.</summary>
    public double Mean => Math.Exp(LogScale + MathNet.Numerics.SpecialFunctions.GammaLn(1 + 1 / Shape));

    public static WeightedWeibull Early(ReadOnlySpan<double> p) => new(Math.Log(p[0]), p[1], Math.Log(p[2]));

    public static WeightedWeibull Late(ReadOnlySpan<double> p) => new(NearZero.Log1p(-p[0]), p[3], Math.Log(p[4]));

    public double LogDensity(double log)
    {
        var z = Shape * (log - LogScale);
        return LogShare + Math.Log(Shape) + z - log - Math.Exp(z);
    }

    public double LogSurvival(double log) => LogShare - Math.Exp(Shape * (log - LogScale));

    public double LogFailed(double log) => LogShare + NearZero.Log1mExp(-Math.Exp(Shape * (log - LogScale)));

    /// <summary>Log age at a log cumulative hazard of the Weibull itself.</summary>
    public double LogAge(double logHazard) => LogScale + logHazard / Shape;

    /// <summary>Log of the mean further hours of its own lives.</summary>
    public double LogMeanRemaining(double log) =>
        LogScale + default(SmallestExtremeValue).LogMeanRemaining(1 / Shape, Shape * (log - LogScale));
}
