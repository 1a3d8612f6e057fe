using Reliability.Engine.Abstractions;
using Reliability.Reference;

namespace Reliability.Engine.Tests.ReferenceValues;

/// <summary>Fits against values recomputed with R survival; sources of data and values are named in tests/Reference.</summary>
public sealed class FitReferenceTests
{
    public static TheoryData<string, string> Fits()
    {
        var data = new TheoryData<string, string>();
        foreach (var name in ReferenceCase.Names)
        {
            foreach (var fit in ReferenceCase.Load(name).Fits)
                data.Add(name, fit.LifeModel);
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(Fits))]
    public void Fit_agrees_with_the_reference(string name, string lifeModel)
    {
        var reference = ReferenceCase.Load(name);
        var fit = reference.Fits.Single(f => f.LifeModel == lifeModel);
        var sample = Asked.Sample(reference.Observations);
        var model = Asked.Model(lifeModel);
        var differences = new Differences();
        foreach (var bounds in Enum.GetValues<ReferenceBounds>())
        {
            foreach (var level in new[] { 0.95, 0.9 })
            {
                if (fit.Expectations(bounds, level).Count == 0)
                    continue;
                var life = model.Fit(sample, Asked.Options(bounds, level), TestContext.Current.CancellationToken).Value;
                fit.Compare(differences, $"{name}, {lifeModel}", bounds, level, q => Asked.Ask(life, q));
                fit.CompareWhole(
                    differences, $"{name}, {lifeModel}", life.LogLikelihood,
                    [.. life.Parameters.Select(p => p.Name)], life.Covariance);
            }
        }

        Assert.True(differences.Compared > 10);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    public static TheoryData<string> NotEstimableCases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).WeibullNotEstimable is not null)];

    [Theory]
    [MemberData(nameof(NotEstimableCases))]
    public void Fit_without_a_maximum_is_refused_with_a_reason(string name)
    {
        var sample = Asked.Sample(ReferenceCase.Load(name).Observations);

        var outcome = Asked.Model("weibull").Fit(sample, FitOptions.Default, TestContext.Current.CancellationToken);

        Assert.False(outcome.TryGet(out _, out var notEstimable));
        Assert.Equal(
            name == "edge_zero_failures" ? NotEstimableReasons.NoFailures : NotEstimableReasons.AllFailuresAtGreatestTime,
            notEstimable.Reason);
    }

    /// <summary>NIST/SEMATECH e-Handbook of Statistical Methods, 8.4.1.3, figures as printed there.</summary>
    [Fact]
    public void Nist_handbook_values_as_printed()
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in (double[])[54, 187, 216, 240, 244, 335, 361, 373, 375, 386])
            builder.AddFailed(hours);
        var sample = builder.AddSurvived(500, count: 10).Build();

        var life = Asked.Model("weibull").Fit(sample, FitOptions.Default, TestContext.Current.CancellationToken).Value;

        Assert.Equal(1.7208, Math.Round(life.Parameters[0].Estimate.Value!.Value, 4));
        Assert.Equal(606.53, Math.Round(life.Parameters[1].Estimate.Value!.Value, 2));
        Assert.Equal(540.737, Math.Round(life.Mean(TestContext.Current.CancellationToken).Value!.Value, 3));
        Assert.Equal(-75.135, Math.Round(life.LogLikelihood!.Value, 3));
    }
}
