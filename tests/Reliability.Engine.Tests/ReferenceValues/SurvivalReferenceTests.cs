using Reliability.Engine.Abstractions;
using Reliability.Reference;

namespace Reliability.Engine.Tests.ReferenceValues;

/// <summary>Kaplan-Meier and Nelson-Aalen against R survfit; sources in tests/Reference.</summary>
public sealed class SurvivalReferenceTests
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).Survival is not null)];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Survival_agrees_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.Survival!;

        var estimate = Asked.Catalog.Nonparametric.Estimate(
            Asked.Sample(reference.Observations), 0.95, TestContext.Current.CancellationToken).Value;

        Assert.Equal(expected.Hours.Count, estimate.Points.Count);
        var differences = new Differences();
        for (var k = 0; k < expected.Hours.Count; k++)
        {
            var point = estimate.Points[k];
            var label = $"{name}, {point.Hours} h";
            Assert.Equal(expected.Hours[k], point.Hours);
            Assert.Equal(expected.AtRisk[k], point.AtRisk);
            Assert.Equal(expected.Failures[k], point.Failures);
            void Check(string what, double? wanted, double? got) =>
                differences.Relative($"{label}, {what}", wanted, got, Tolerance.Nonparametric);
            Check("reliability", expected.Reliability[k], point.Reliability.Value);
            Check("standard error", expected.ReliabilityVariance[k] is { } v ? Math.Sqrt(v) : null, point.Reliability.StandardError);
            Check("lower", expected.Lower95[k], point.Reliability.Lower);
            Check("upper", expected.Upper95[k], point.Reliability.Upper);
            Check("cumulative hazard", expected.CumulativeHazard[k], point.CumulativeHazard.Value);
            Check(
                "standard error of the hazard", Math.Sqrt(expected.CumulativeHazardVariance[k]!.Value),
                point.CumulativeHazard.StandardError);
        }

        Assert.True(differences.Compared > 0);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    public static TheoryData<string> IntervalCases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n) is { Survival: null, WeibullNotEstimable: null, Observations.Count: < 1000 })];

    [Theory]
    [MemberData(nameof(IntervalCases))]
    public void Survival_with_intervals_is_refused_with_a_reason(string name)
    {
        var sample = Asked.Sample(ReferenceCase.Load(name).Observations);

        var outcome = Asked.Catalog.Nonparametric.Estimate(sample, 0.95, TestContext.Current.CancellationToken);

        Assert.Equal(NotEstimableReasons.IntervalOutcomes, outcome.NotEstimable?.Reason);
    }
}
