using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>
/// A log-likelihood over the unbounded scales of the parameters that are estimated.
/// </summary>
internal sealed class Surface(ILifeLikelihood likelihood, FreeParameters parameters)
{
    public FreeParameters Parameters { get; } = parameters;

    public ILifeLikelihood Likelihood { get; } = likelihood;

    public int Dimensions => Parameters.Count;

    /// <summary>The log-likelihood; negative infinity outside of what can be computed.</summary>
    public double At(ReadOnlySpan<double> point, CancellationToken cancellationToken)
    {
        var natural = Parameters.Natural(point);
        return Parameters.Allow(natural) ? Likelihood.At(natural, cancellationToken) : double.NegativeInfinity;
    }

    /// <summary>Tells a family in another process at which points the likelihood will be asked next; null where that is of no use.</summary>
    /// <param name="place">From coordinates to the unbounded scales.</param>
    public Action<IReadOnlyList<double[]>>? Expecting(Func<double[], double[]> place) =>
        Likelihood.IsDistant ? points => Likelihood.Expect(Parameters.Members(points.Select(place))) : null;

    /// <summary>The gradient along the columns of a matrix, from the likelihood's own derivatives; null where it has none there.</summary>
    public double[]? Score(double[] point, double[,] root, CancellationToken cancellationToken)
    {
        var natural = Parameters.Natural(point);
        Span<double> score = stackalloc double[natural.Length];
        if (!Parameters.Allow(natural) || !Likelihood.TryScore(natural, score, cancellationToken))
            return null;
        var gradient = new double[Dimensions];
        for (var i = 0; i < gradient.Length; i++)
        {
            var slope = score[Parameters.IndexOf(i)] * Parameters.Slope(i, point[i]);
            for (var k = 0; k < gradient.Length; k++)
                gradient[k] += root[i, k] * slope;
        }

        return Array.TrueForAll(gradient, double.IsFinite) ? gradient : null;
    }

    /// <summary>The same parameters over fewer rows: every so many-th one, for a first approach.</summary>
    public Surface Thinned(int rows)
    {
        var sample = Likelihood.Sample;
        if (sample.RowCount <= rows)
            return this;
        var stride = (sample.RowCount + rows - 1) / rows;
        var builder = new LifeSampleBuilder(rows);
        for (var i = 0; i < sample.RowCount; i += stride)
        {
            _ = sample.Outcomes[i] switch
            {
                LifeOutcome.Failed => builder.AddFailed(sample.LowerHours[i], sample.EntryHours[i], sample.Counts[i]),
                LifeOutcome.Survived => builder.AddSurvived(sample.LowerHours[i], sample.EntryHours[i], sample.Counts[i]),
                _ => builder.AddBetween(sample.LowerHours[i], sample.UpperHours[i], sample.EntryHours[i], sample.Counts[i]),
            };
        }

        var thinned = builder.Build();
        return thinned.FailureCount > 0 ? new Surface(new FamilyLikelihood(Likelihood.Family, thinned), Parameters) : this;
    }
}
