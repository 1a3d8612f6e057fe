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
