using Reliability.Engine.Abstractions;

namespace Reliability.Engine.LocationScale;

/// <summary>
/// The log-likelihood of a sample under a log-location-scale family, as a function of (u, v): z = u x + v with x the log
/// time of <see cref="LogTimeSample"/>. Without late entry it is concave in (u, v), because the standard densities are
/// log-concave (Burridge 1981, JRSS B 43, 41-45, for this parameterisation), so its maximum, where there is one, is unique.
/// </summary>
internal abstract class LogTimeLikelihood(LogTimeSample sample)
{
    public LogTimeSample Sample { get; } = sample;

    public abstract IStandardDistribution Distribution { get; }

    /// <summary>
    /// Value, gradient and Hessian. The value is that of the times themselves, constants included: log f(t) for failures,
    /// log R(t) for survivors, log(F(upper) - F(lower)) for intervals, minus log R(entry) for late entry
    /// (Meeker and Escobar 1998, 2.4; Kalbfleisch and Prentice 2002, 3.2).
    /// </summary>
    public abstract LikelihoodPoint Evaluate(double u, double v, CancellationToken cancellationToken);

    /// <summary>The sum of log S(u x + v) over places on the axis.</summary>
    /// <param name="x">The places.</param>
    /// <param name="count">How often each counts.</param>
    /// <param name="u">u.</param>
    /// <param name="v">v.</param>
    public abstract double LogSurvival(ReadOnlySpan<double> x, ReadOnlySpan<double> count, double u, double v);

    /// <summary>log S(u x + v) of many members of the family at one place.</summary>
    /// <param name="u">u of each.</param>
    /// <param name="v">v of each.</param>
    /// <param name="x">The place.</param>
    /// <param name="log">Takes the logarithms.</param>
    public abstract void LogSurvivals(ReadOnlySpan<double> u, ReadOnlySpan<double> v, double x, Span<double> log);

    /// <summary>The likelihood of a few rows of a large sample: a place to begin from.</summary>
    public abstract LogTimeLikelihood OfFew();

    /// <summary>The likelihood of another sample under the same distribution.</summary>
    public abstract LogTimeLikelihood Of(LifeSample sample);

    /// <summary>The likelihood of a sample under a standard distribution.</summary>
    public static LogTimeLikelihood Create<T>(LifeSample sample)
        where T : struct, IStandardDistribution => new LogTimeLikelihood<T>(new LogTimeSample(sample));
}
