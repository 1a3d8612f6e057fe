using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>What one life says: its log-likelihood at some parameters, with the score by (log u, v).</summary>
/// <param name="Log">The log-likelihood of its log time.</param>
/// <param name="ByLogU">Derivative by log u.</param>
/// <param name="ByV">Derivative by v.</param>
internal readonly record struct LifeTerm(double Log, double ByLogU, double ByV)
{
    /// <summary>A life that failed at x.</summary>
    public static LifeTerm Failed(IStandardDistribution distribution, double x, (double U, double V) at)
    {
        var density = distribution.LogDensity(at.U * x + at.V, out var slope, out _);
        return new(Math.Log(at.U) + density, 1 + slope * at.U * x, slope);
    }

    /// <summary>A life that was stopped at x.</summary>
    public static LifeTerm Stopped(IStandardDistribution distribution, double x, (double U, double V) at)
    {
        var survival = distribution.LogSurvival(at.U * x + at.V, out var slope, out _);
        return new(survival, slope * at.U * x, slope);
    }

    /// <summary>A life that failed between two places, the lower of which may be negative infinity.</summary>
    public static LifeTerm Between(IStandardDistribution distribution, double lower, double upper, (double U, double V) at)
    {
        var (u, v) = at;
        var zb = u * upper + v;
        var za = double.IsNegativeInfinity(lower) ? lower : u * lower + v;
        var log = distribution.LogInterval(za, zb, u * (upper - lower));
        var atUpper = Math.Exp(distribution.LogDensity(zb, out _, out _) - log);
        if (double.IsNegativeInfinity(lower))
            return new(log, atUpper * u * upper, atUpper);
        var atLower = Math.Exp(distribution.LogDensity(za, out _, out _) - log);
        return new(log, u * (atUpper * upper - atLower * lower), atUpper - atLower);
    }

    /// <summary>The same taken off.</summary>
    public static LifeTerm operator -(LifeTerm term) => new(-term.Log, -term.ByLogU, -term.ByV);
}
