using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>
/// The log-likelihood of lives whose failures carry their mode: the log hazard of that mode at a failure, less the cumulative hazard
/// of all modes between entry and end (Kalbfleisch and Prentice 2002, 8.2). It is the sum of the modes' own likelihoods.
/// </summary>
/// <param name="family">The distribution.</param>
/// <param name="sample">Lives that failed at known ages or survived.</param>
/// <param name="modes">The place of each failure's mode; not looked at for survivors.</param>
internal sealed class CompetingLikelihood(SeriesWeibullFamily family, LifeSample sample, int[] modes) : ILifeLikelihood
{
    private const int RowsBetweenChecks = 4096;

    public ILifeFamily Family => family;

    public LifeSample Sample => sample;

    public double At(ReadOnlySpan<double> parameters, CancellationToken cancellationToken)
    {
        Span<double> logScales = stackalloc double[parameters.Length / 2];
        for (var j = 0; j < logScales.Length; j++)
            logScales[j] = Math.Log(parameters[2 * j + 1]);
        double sum = 0, lost = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (i % RowsBetweenChecks == 0)
                cancellationToken.ThrowIfCancellationRequested();
            var log = Math.Log(sample.LowerHours[i]);
            var logEntry = sample.EntryHours[i] > 0 ? Math.Log(sample.EntryHours[i]) : double.NegativeInfinity;
            double part = 0;
            for (var j = 0; j < logScales.Length; j++)
            {
                var shape = parameters[2 * j];
                var z = shape * (log - logScales[j]);
                part -= Math.Exp(z);
                if (sample.EntryHours[i] > 0)
                    part += Math.Exp(shape * (logEntry - logScales[j]));
                if (sample.Outcomes[i] == LifeOutcome.Failed && modes[i] == j)
                    part += z + Math.Log(shape) - log;
            }

            // Kahan's correction, for the differences that derivatives take.
            var corrected = sample.Counts[i] * part - lost;
            var next = sum + corrected;
            lost = next - sum - corrected;
            sum = next;
        }

        return double.IsFinite(sum) ? sum : double.NegativeInfinity;
    }
}
