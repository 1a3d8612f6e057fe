using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Plotting;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>Families whose log time is mu + sigma W with W a standard log-gamma error of shape parameter q.</summary>
internal abstract class LogGammaFamily : ILifeFamily
{
    public abstract string Id { get; }

    public abstract string DisplayName { get; }

    public abstract IReadOnlyList<ParameterDescription> Parameters { get; }

    public bool ScaleEquivariant => true;

    /// <summary>No axes make these straight for every shape; on Weibull axes they are where they are Weibull.</summary>
    public IPlotScale Plot { get; } = new ProbabilityPlotScale(default(SmallestExtremeValue), "weibull");

    public void LogDensity(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (mu, sigma, q) = LogGamma(parameters);
        var logSigma = Math.Log(sigma);
        for (var i = 0; i < hours.Length; i++)
        {
            var log = Math.Log(hours[i]);
            result[i] = StandardLogGamma.LogDensity((log - mu) / sigma, q) - logSigma - log;
        }
    }

    public void LogSurvival(ReadOnlySpan<double> parameters, ReadOnlySpan<double> hours, Span<double> result)
    {
        var (mu, sigma, q) = LogGamma(parameters);
        for (var i = 0; i < hours.Length; i++)
            result[i] = hours[i] <= 0 ? 0 : StandardLogGamma.LogSurvival((Math.Log(hours[i]) - mu) / sigma, q);
    }

    public void Quantile(ReadOnlySpan<double> parameters, ReadOnlySpan<double> fractions, Span<double> result)
    {
        var (mu, sigma, q) = LogGamma(parameters);
        for (var i = 0; i < fractions.Length; i++)
            result[i] = Math.Exp(mu + sigma * StandardLogGamma.Quantile(fractions[i], q));
    }

    public virtual IReadOnlyList<string> SpecialCaseOf => [];

    public abstract double? Mean(ReadOnlySpan<double> parameters);

    public abstract IReadOnlyList<double[]> Starts(LifeSample sample);

    /// <summary>mu, sigma and q from named parameters.</summary>
    protected abstract (double Mu, double Sigma, double Q) LogGamma(ReadOnlySpan<double> parameters);

    /// <summary>log of the greatest likely scale: time on test over failures, never below the typical age of failure.</summary>
    protected static double LogTypical(LifeSample sample)
    {
        double time = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            time += sample.Counts[i]
                * (sample.LowerHours[i] / 2 + sample.UpperHours[i] / 2 - sample.EntryHours[i]);
        }

        return Math.Log(Math.Max(time / sample.FailureCount, StartingPoints.TypicalHours(sample)));
    }
}
