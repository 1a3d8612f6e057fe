using CsCheck;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>What must hold of location-scale models for every sample; <see cref="EveryModelTests"/> asks all models.</summary>
public sealed class FitPropertyTests
{
    private static readonly string[] Models = ["weibull", "exponential", "lognormal", "loglogistic"];

    [Fact]
    public void Times_times_a_factor_gives_lives_times_it() => TimesTimesAFactor(Models, 100, 1);

    private static void TimesTimesAFactor(string[] models, int cases, double looser) =>
        Gen.Select(RandomSamples.Ordinary, Gen.Double[-6, 6].Select(e => Math.Pow(10, e))).Cases(
            cases,
            pair =>
            {
                var (sample, factor) = pair;
                var scaled = SampleRows.Rebuilt(sample, row => row with
                {
                    Lower = row.Lower * factor,
                    Upper = row.Upper * factor,
                    Entry = row.Entry * factor,
                });
                foreach (var model in models)
                {
                    var life = Fit(model, sample);
                    var scaledLife = Fit(model, scaled);
                    Close(Times(life.PercentileLife(0.1), factor), scaledLife.PercentileLife(0.1), looser * 1e-7);
                    Close(Times(life.MeanRemainingLife(sample.OldestHours / 3), factor), scaledLife.MeanRemainingLife(scaled.OldestHours / 3), looser * 1e-6);
                    Close(life.Reliability(sample.OldestHours / 2), scaledLife.Reliability(scaled.OldestHours / 2), looser * 1e-7);
                }
            });

    [Fact]
    public void Calibrated_bounds_scale_with_the_times() =>
        Gen.Select(RandomSamples.Ordinary, Gen.Double[-6, 6].Select(e => Math.Pow(10, e))).Cases(
            8,
            pair =>
            {
                var (sample, factor) = pair;
                var scaled = SampleRows.Rebuilt(sample, row => row with
                {
                    Lower = row.Lower * factor,
                    Upper = row.Upper * factor,
                    Entry = row.Entry * factor,
                });
                var (life, scaledLife) = (Fit("weibull", sample, BoundsMethod.Calibrated), Fit("weibull", scaled, BoundsMethod.Calibrated));
                Close(Times(life.PercentileLife(0.1), factor), scaledLife.PercentileLife(0.1), 1e-6);
            });

    [Fact]
    public void Splitting_counts_changes_nothing() => SplittingCounts(Models, 50, 1e-9);

    private static void SplittingCounts(string[] models, int cases, double tolerance) =>
        RandomSamples.Ordinary.Cases(
            cases,
            sample =>
            {
                var split = new LifeSampleBuilder();
                foreach (var row in sample.Rows())
                {
                    for (var k = 0; k < row.Count; k++)
                        split.Add(row with { Count = 1 });
                }

                foreach (var model in models)
                {
                    var whole = Fit(model, sample);
                    var parts = Fit(model, split.Build());
                    Close(whole.PercentileLife(0.1), parts.PercentileLife(0.1), tolerance);
                    Assert.Equal(whole.LogLikelihood!.Value, parts.LogLikelihood!.Value, 1e-9 * (1 + Math.Abs(whole.LogLikelihood.Value)));
                }
            });

    [Fact]
    public void An_interval_narrowing_onto_a_point_gives_the_exact_answer() => IntervalNarrowing(Models, 50);

    private static void IntervalNarrowing(string[] models, int cases) =>
        Gen.Select(RandomSamples.Ordinary, Gen.Double[-15, -9].Select(e => Math.Pow(10, e))).Cases(
            cases,
            pair =>
            {
                var (sample, width) = pair;
                var narrow = SampleRows.Rebuilt(sample, row => row.Outcome == LifeOutcome.Failed
                    ? row with { Outcome = LifeOutcome.Between, Lower = Math.Max(row.Entry, row.Lower * (1 - width)), Upper = row.Upper * (1 + width) }
                    : row);
                foreach (var model in models)
                {
                    var exact = Fit(model, sample);
                    var between = Fit(model, narrow);
                    Close(exact.PercentileLife(0.1), between.PercentileLife(0.1), 1e-6);
                    for (var i = 0; i < exact.Covariance.Count; i++)
                        Assert.Equal(1, between.Covariance[i] / exact.Covariance[i], 1e-5);
                }
            });

    [Fact]
    public void The_percentile_inverts_the_reliability_and_both_are_monotone() => PercentileInverts(Models, 50);

    private static void PercentileInverts(string[] models, int cases) =>
        RandomSamples.Ordinary.Cases(
            cases,
            sample =>
            {
                foreach (var model in models)
                {
                    var life = Fit(model, sample);
                    double before = 0;
                    foreach (var fraction in (double[])[1e-6, 0.01, 0.1, 0.5, 0.9, 0.999])
                    {
                        var hours = life.PercentileLife(fraction).Value!.Value;
                        Assert.True(hours > before);
                        before = hours;
                        Assert.Equal(1 - fraction, life.Reliability(hours).Value!.Value, 1e-10);
                    }
                }
            });

    [Fact]
    public void Bounds_hold_the_estimate_and_nest_in_the_level() =>
        RandomSamples.Ordinary.Cases(
            20,
            sample =>
            {
                foreach (var method in (BoundsMethod[])[BoundsMethod.LikelihoodRatio, BoundsMethod.NormalApproximation, BoundsMethod.Calibrated])
                {
                    var narrow = Asked.Model("weibull").Fit(sample, new FitOptions { BoundsMethod = method, ConfidenceLevel = 0.5 }).Value;
                    var wide = Asked.Model("weibull").Fit(sample, new FitOptions { BoundsMethod = method, ConfidenceLevel = 0.99 }).Value;
                    foreach (var question in FittedLifeQuestions.Of(sample.OldestHours / 3))
                    {
                        var (inner, outer) = (question(narrow), question(wide));
                        Assert.True(inner.Lower <= inner.Value && inner.Value <= inner.Upper, $"{method} {inner}");
                        Assert.True((outer.Lower ?? 0) <= inner.Lower && inner.Upper <= (outer.Upper ?? double.MaxValue), $"{method} {outer}");
                    }
                }
            });

    [Fact]
    public void Hostile_pairs_of_cohorts_compare_without_a_number_that_is_not_finite() =>
        Gen.Select(RandomSamples.Hostile, RandomSamples.Hostile).Cases(
            60,
            pair =>
            {
                var (first, second) = pair;
                foreach (var model in Asked.Catalog.Models.Where(m => m.Description.Capabilities.ComparesCohorts))
                {
                    var comparison = ((ICohortComparer)model).Compare([first, second], FitOptions.Default);
                    foreach (var test in (IEnumerable<CohortTest>)[.. comparison.Tests, Asked.Catalog.Nonparametric.LogRank([first, second])])
                    {
                        Assert.True(test.Statistic is null == test.PValue is null);
                        Assert.True(test.Statistic is null == test.NotEstimable is not null);
                        Assert.True(test.PValue is null or (>= 0 and <= 1), $"{test}");
                        Assert.True(test.Statistic is null || double.IsFinite(test.Statistic.Value));
                    }

                    Assert.All(comparison.Effects, e => FittedLifeQuestions.Finite(e.Ratio));
                }
            });

    private static BoundedEstimate Times(BoundedEstimate estimate, double factor) => new()
    {
        Value = estimate.Value * factor,
        Lower = estimate.Lower * factor,
        Upper = estimate.Upper * factor,
    };

    private static void Close(BoundedEstimate expected, BoundedEstimate actual, double tolerance)
    {
        foreach (var (e, a) in ((double?, double?)[])
            [(expected.Value, actual.Value), (expected.Lower, actual.Lower), (expected.Upper, actual.Upper)])
        {
            Assert.Equal(e is null, a is null);
            if (e is { } wanted && a is { } got)
                Assert.True(Math.Abs(got - wanted) <= tolerance * Math.Abs(wanted), $"{wanted:R} against {got:R}");
        }
    }

    private static IFittedLife Fit(string model, LifeSample sample, BoundsMethod method = BoundsMethod.LikelihoodRatio) =>
        Asked.Model(model).Fit(sample, new FitOptions { BoundsMethod = method }).Value;
}
