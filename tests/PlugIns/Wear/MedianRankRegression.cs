using Reliability.Engine.Abstractions;
using Reliability.TestPlugIns.Numbers;

namespace Reliability.TestPlugIns.Wear;

/// <summary>
/// An estimator of its own: a line through the failures of a complete sample on Weibull axes, at median ranks (i - 0.3) / (n + 0.4)
/// (Benard and Bos-Levenbach 1953, from memory). It gives no covariance, and so no bounds.
/// </summary>
public sealed class MedianRankRegression : ILifeModel
{
    private readonly WeibullLine _family = new();

    public MedianRankRegression() => Description = new(
        _family.Id, _family.DisplayName, _family.Parameters,
        new LifeModelCapabilities { ScaleEquivariant = true, BoundsMethods = new HashSet<BoundsMethod> { BoundsMethod.NormalApproximation } },
        _family.Plot, "1.2.3", "Benard and Bos-Levenbach 1953");

    public LifeModelDescription Description { get; }

    public ILifeFamily? Family => _family;

    public Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        Description.Check(options);
        if (sample.SurvivedCount > 0 || sample.HasCounts || sample.RowCount < 2)
            return new NotEstimable("COMPLETE_SAMPLE_NEEDED", "Median ranks need two lives or more, all of them failed.");
        double[] hours = [.. sample.LowerHours];
        Array.Sort(hours);
        var (slope, intercept) = Line.Through(
            [.. Enumerable.Range(1, hours.Length).Select(i => Math.Log(-Math.Log(1 - (i - 0.3) / (hours.Length + 0.4))))], [.. hours.Select(h => Math.Log(h))]);
        return Estimable<IFittedLife>.Of(
            DeltaMethod.Fitted(Description, _family, new FamilyEstimate([1 / slope, Math.Exp(intercept)]), sample, options));
    }
}
