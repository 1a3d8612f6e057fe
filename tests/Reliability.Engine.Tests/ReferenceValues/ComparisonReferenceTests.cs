using Reliability.Engine.Abstractions;
using Reliability.Reference;

namespace Reliability.Engine.Tests.ReferenceValues;

/// <summary>Two cohorts against R survdiff and survreg; sources in tests/Reference.</summary>
public sealed class ComparisonReferenceTests
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).TwoSample is not null)];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Comparison_agrees_with_the_reference(string name)
    {
        var token = TestContext.Current.CancellationToken;
        var reference = ReferenceCase.Load(name);
        var expected = reference.TwoSample!;
        var a = Asked.Sample(reference.Group("A"));
        var b = Asked.Sample(reference.Group("B"));
        var comparer = (ICohortComparer)Asked.Model("weibull");
        var differences = new Differences();
        foreach (var level in (double[])[0.95, 0.9])
        {
            // Effects are of the second over the first, so B comes first.
            var comparison = comparer.Compare([b, a], Asked.Options(ReferenceBounds.NormalApproximation, level), token);
            CompareTests(differences, name, expected, [.. comparison.Tests, Asked.Catalog.Nonparametric.LogRank([b, a], token)]);
            foreach (var (effect, ratio) in expected.RatiosOfAOverB(level))
            {
                var actual = comparison.Effects.Single(e => e.Name == effect).Ratio;
                differences.Relative($"{name}, {effect}", ratio.Value, actual.Value, Tolerance.Estimate);
                differences.Relative($"{name}, {effect}, standard error", ratio.StandardError, actual.StandardError, Tolerance.Bound);
                differences.Relative($"{name}, {effect}, lower {level}", ratio.Lower, actual.Lower, Tolerance.Bound);
                differences.Relative($"{name}, {effect}, upper {level}", ratio.Upper, actual.Upper, Tolerance.Bound);
            }

            foreach (var (group, index) in new[] { ("A", 1), ("B", 0) })
            {
                var life = comparison.Fits[index].Value;
                expected.Separate(group).Compare(
                    differences, $"{name}, {group}", ReferenceBounds.NormalApproximation, level, q => Asked.Ask(life, q));
            }
        }

        var ratios = comparer.Compare([b, a], Asked.Options(ReferenceBounds.LikelihoodRatio, 0.95), token);
        foreach (var (group, index) in new[] { ("A", 1), ("B", 0) })
        {
            var life = ratios.Fits[index].Value;
            expected.Separate(group).Compare(
                differences, $"{name}, {group}", ReferenceBounds.LikelihoodRatio, 0.95, q => Asked.Ask(life, q));
        }

        Assert.True(differences.Compared > 20);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
        foreach (var effect in ratios.Effects)
        {
            Assert.True(effect.Ratio.Lower < effect.Ratio.Value);
            Assert.True(effect.Ratio.Upper > effect.Ratio.Value);
        }
    }

    private static void CompareTests(
        Differences differences, string name, ReferenceComparison expected, IReadOnlyList<CohortTest> tests)
    {
        foreach (var test in expected.Tests)
        {
            var actual = tests.Single(t => t.Name == test.Name);
            differences.Relative($"{name}, {test.Name}, statistic", test.Statistic, actual.Statistic, Tolerance.Statistic);
            differences.Relative($"{name}, {test.Name}, p", test.PValue, actual.PValue, Tolerance.PValue);
            Assert.Equal(test.DegreesOfFreedom, actual.DegreesOfFreedom);
        }
    }
}
