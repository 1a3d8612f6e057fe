using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>
/// The log-likelihood of a sample under any family, from batches of log density and log reliability: log f(t) for
/// failures, log R(t) for survivors, log(F(upper) - F(lower)) for intervals, minus log R(entry) for late entry
/// (Meeker and Escobar 1998, 2.4; Kalbfleisch and Prentice 2002, 3.2). Nothing of the size of the sample is kept.
/// </summary>
/// <param name="family">The distribution.</param>
/// <param name="sample">The lives.</param>
internal sealed class FamilyLikelihood(ILifeFamily family, LifeSample sample) : ILifeLikelihood
{
    private const int Chunk = 512;

    // An interval narrower than this part of its upper end is integrated by Simpson's rule over the density, to about
    // 1e-10; the difference of two tails would lose as many digits there.
    private const double NarrowInterval = 1e-3;

    // More rows are asked for chunk by chunk: each is an answer worth its journey.
    private const int MostExpectedRows = 4096;

    private readonly IDistantFamily? _distant = sample.RowCount <= MostExpectedRows ? family as IDistantFamily : null;

    private readonly IReadOnlyList<FamilyQuestion> _questions =
        family is IDistantFamily && sample.RowCount <= MostExpectedRows ? AgesAsked.Of(sample) : [];

    private readonly FamilyScore? _score = family is IFamilyDerivatives derivatives ? new FamilyScore(family, derivatives, sample) : null;

    public ILifeFamily Family { get; } = family;

    public LifeSample Sample { get; } = sample;

    public bool IsDistant => _distant is not null;

    public void Expect(IReadOnlyList<double[]> members) => _distant?.Expect(_questions, members);

    public double At(ReadOnlySpan<double> parameters, CancellationToken cancellationToken)
    {
        if (_distant is not null)
            Expect([parameters.ToArray()]);
        Span<double> hours = stackalloc double[3 * Chunk];
        Span<double> weights = stackalloc double[3 * Chunk];
        Span<double> logs = stackalloc double[3 * Chunk];
        double sum = 0, lost = 0;
        for (var start = 0; start < Sample.RowCount; start += Chunk)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var rows = Math.Min(Chunk, Sample.RowCount - start);
            var part = Failed(parameters, start, rows, hours, weights, logs)
                + Tails(parameters, start, rows, hours, weights, logs);
            if (Sample.HasIntervals)
                part += Between(parameters, start, rows, hours, weights, logs);

            // Kahan's correction: the sums of many chunks are subtracted from one another when derivatives are taken.
            var corrected = part - lost;
            var next = sum + corrected;
            lost = next - sum - corrected;
            sum = next;
        }

        return double.IsNaN(sum) || double.IsPositiveInfinity(sum) ? double.NegativeInfinity : sum;
    }

    public bool TryScore(ReadOnlySpan<double> parameters, Span<double> score, CancellationToken cancellationToken) =>
        _score?.TryAt(parameters, score, cancellationToken) ?? false;

    /// <summary>Whether an interval is taken as an integral of the density.</summary>
    public static bool IsNarrow(double lower, double upper) => upper - lower < NarrowInterval * upper;

    private double Failed(
        ReadOnlySpan<double> parameters, int start, int rows, Span<double> hours, Span<double> weights, Span<double> logs)
    {
        // Once out of the loop: each is a span made anew.
        var outcomes = Sample.Outcomes.Slice(start, rows);
        var lower = Sample.LowerHours.Slice(start, rows);
        var counts = Sample.Counts.Slice(start, rows);
        var n = 0;
        for (var i = 0; i < outcomes.Length; i++)
        {
            if (outcomes[i] != LifeOutcome.Failed)
                continue;
            hours[n] = lower[i];
            weights[n++] = counts[i];
        }

        Family.LogDensity(parameters, hours[..n], logs[..n]);
        return Dot(weights[..n], logs[..n]);
    }

    private double Tails(
        ReadOnlySpan<double> parameters, int start, int rows, Span<double> hours, Span<double> weights, Span<double> logs)
    {
        var outcomes = Sample.Outcomes.Slice(start, rows);
        var lower = Sample.LowerHours.Slice(start, rows);
        var counts = Sample.Counts.Slice(start, rows);
        var entries = Sample.HasLateEntry ? Sample.EntryHours.Slice(start, rows) : [];
        var n = 0;
        for (var i = 0; i < outcomes.Length; i++)
        {
            if (outcomes[i] == LifeOutcome.Survived)
            {
                hours[n] = lower[i];
                weights[n++] = counts[i];
            }

            if (i < entries.Length && entries[i] > 0)
            {
                hours[n] = entries[i];
                weights[n++] = -counts[i];
            }
        }

        Family.LogSurvival(parameters, hours[..n], logs[..n]);
        return Dot(weights[..n], logs[..n]);
    }

    private double Between(
        ReadOnlySpan<double> parameters, int start, int rows, Span<double> hours, Span<double> weights, Span<double> logs)
    {
        // Wide ones fill the buffers from the front, two places a row; narrow ones from the back, three places a row.
        int wide = 0, narrow = 0;
        var end = hours.Length;
        for (var i = start; i < start + rows; i++)
        {
            if (Sample.Outcomes[i] != LifeOutcome.Between)
                continue;
            var (lower, upper) = (Sample.LowerHours[i], Sample.UpperHours[i]);
            if (IsNarrow(lower, upper))
            {
                narrow++;
                end -= 3;
                hours[end] = lower;
                hours[end + 1] = lower + (upper - lower) / 2;
                hours[end + 2] = upper;
                weights[end] = Sample.Counts[i];
                weights[end + 1] = upper - lower;
            }
            else
            {
                // log R(0) counts as 0 whatever the family: an interval from 0 h means failed by its upper end.
                hours[2 * wide] = lower > 0 ? lower : upper;
                hours[2 * wide + 1] = upper;
                weights[2 * wide] = Sample.Counts[i];
                weights[2 * wide + 1] = lower;
                wide++;
            }
        }

        double sum = 0;
        if (wide > 0)
        {
            Family.LogSurvival(parameters, hours[..(2 * wide)], logs[..(2 * wide)]);
            for (var k = 0; k < wide; k++)
            {
                var atLower = weights[2 * k + 1] > 0 ? logs[2 * k] : 0;
                sum += weights[2 * k] * (atLower + NearZero.Log1mExp(Math.Min(logs[2 * k + 1] - atLower, 0)));
            }
        }

        if (narrow > 0)
        {
            Family.LogDensity(parameters, hours[end..], logs[end..]);
            for (var k = end; k < hours.Length; k += 3)
            {
                var peak = Math.Max(logs[k], Math.Max(logs[k + 1], logs[k + 2]));
                var mean = (Math.Exp(logs[k] - peak) + 4 * Math.Exp(logs[k + 1] - peak) + Math.Exp(logs[k + 2] - peak)) / 6;
                sum += weights[k] * (peak + Math.Log(mean) + Math.Log(weights[k + 1]));
            }
        }

        return sum;
    }

    private static double Dot(ReadOnlySpan<double> weights, ReadOnlySpan<double> logs)
    {
        double sum = 0;
        for (var i = 0; i < weights.Length; i++)
            sum += weights[i] * logs[i];
        return sum;
    }
}
