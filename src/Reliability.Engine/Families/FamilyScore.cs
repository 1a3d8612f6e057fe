using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>
/// The derivatives of <see cref="FamilyLikelihood"/> by the parameters, where the family gives those of its logarithms. Nothing of the size
/// of the sample is kept.
/// </summary>
/// <param name="family">The distribution.</param>
/// <param name="derivatives">The same, for its derivatives.</param>
/// <param name="sample">The lives.</param>
internal sealed class FamilyScore(ILifeFamily family, IFamilyDerivatives derivatives, LifeSample sample)
{
    private const int Chunk = 128;

    /// <summary>Adds up the derivatives.</summary>
    /// <param name="parameters">Parameters on their natural scale.</param>
    /// <param name="score">Receives one number a parameter.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>Whether all of them are finite.</returns>
    public bool TryAt(ReadOnlySpan<double> parameters, Span<double> score, CancellationToken cancellationToken)
    {
        score.Clear();
        Span<double> hours = stackalloc double[3 * Chunk];
        Span<double> weights = stackalloc double[3 * Chunk];
        Span<double> logs = stackalloc double[3 * Chunk];
        Span<double> slopes = stackalloc double[3 * Chunk * parameters.Length];
        for (var start = 0; start < sample.RowCount; start += Chunk)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var end = Math.Min(start + Chunk, sample.RowCount);
            Failed(parameters, start, end, hours, weights, slopes, score);
            Tails(parameters, start, end, hours, weights, slopes, score);
            if (sample.HasIntervals)
                Between(parameters, start, end, hours, weights, logs, slopes, score);
        }

        foreach (var s in score)
        {
            if (!double.IsFinite(s))
                return false;
        }

        return true;
    }

    private void Failed(
        ReadOnlySpan<double> parameters, int start, int end, Span<double> hours, Span<double> weights, Span<double> slopes, Span<double> score)
    {
        var n = 0;
        for (var i = start; i < end; i++)
        {
            if (sample.Outcomes[i] != LifeOutcome.Failed)
                continue;
            hours[n] = sample.LowerHours[i];
            weights[n++] = sample.Counts[i];
        }

        derivatives.LogDensityDerivatives(parameters, hours[..n], slopes[..(n * parameters.Length)]);
        for (var k = 0; k < n; k++)
            Add(score, weights[k], slopes[(k * parameters.Length)..]);
    }

    private void Tails(
        ReadOnlySpan<double> parameters, int start, int end, Span<double> hours, Span<double> weights, Span<double> slopes, Span<double> score)
    {
        var n = 0;
        for (var i = start; i < end; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Survived)
            {
                hours[n] = sample.LowerHours[i];
                weights[n++] = sample.Counts[i];
            }

            if (sample.EntryHours[i] > 0)
            {
                hours[n] = sample.EntryHours[i];
                weights[n++] = -sample.Counts[i];
            }
        }

        derivatives.LogSurvivalDerivatives(parameters, hours[..n], slopes[..(n * parameters.Length)]);
        for (var k = 0; k < n; k++)
            Add(score, weights[k], slopes[(k * parameters.Length)..]);
    }

    /// <summary>As the likelihood has it: wide intervals as differences of tails, narrow ones as integrals of the density.</summary>
    private void Between(
        ReadOnlySpan<double> parameters, int start, int end, Span<double> hours, Span<double> weights, Span<double> logs, Span<double> slopes,
        Span<double> score)
    {
        var p = parameters.Length;
        for (var i = start; i < end; i++)
        {
            if (sample.Outcomes[i] != LifeOutcome.Between)
                continue;
            var (lower, upper, count) = (sample.LowerHours[i], sample.UpperHours[i], sample.Counts[i]);
            if (FamilyLikelihood.IsNarrow(lower, upper))
            {
                (hours[0], hours[1], hours[2]) = (lower, lower + (upper - lower) / 2, upper);
                family.LogDensity(parameters, hours[..3], logs[..3]);
                derivatives.LogDensityDerivatives(parameters, hours[..3], slopes[..(3 * p)]);
                var peak = Math.Max(logs[0], Math.Max(logs[1], logs[2]));
                (weights[0], weights[1], weights[2]) = (Math.Exp(logs[0] - peak), 4 * Math.Exp(logs[1] - peak), Math.Exp(logs[2] - peak));
                var sum = weights[0] + weights[1] + weights[2];
                for (var k = 0; k < 3; k++)
                    Add(score, count * weights[k] / sum, slopes[(k * p)..]);
                continue;
            }

            // d log(S(l) - S(u)) = (d log S(l) - r d log S(u)) / (1 - r), r = S(u) / S(l); S(0) is 1 whatever the family.
            var from = lower > 0 ? 0 : 1;
            (hours[0], hours[1]) = (lower, upper);
            logs[0] = 0;
            family.LogSurvival(parameters, hours[from..2], logs[from..2]);
            derivatives.LogSurvivalDerivatives(parameters, hours[from..2], slopes[(from * p)..(2 * p)]);
            var logRatio = Math.Min(logs[1] - logs[0], 0);
            var failed = -NearZero.Expm1(logRatio);
            if (from == 0)
                Add(score, count / failed, slopes);
            Add(score, -count * Math.Exp(logRatio) / failed, slopes[p..]);
        }
    }

    private static void Add(Span<double> score, double weight, ReadOnlySpan<double> slopes)
    {
        for (var k = 0; k < score.Length; k++)
            score[k] += weight * slopes[k];
    }
}
