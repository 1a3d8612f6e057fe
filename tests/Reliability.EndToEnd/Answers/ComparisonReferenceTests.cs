using Reliability.EndToEnd.Running;
using Reliability.Reference;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Answers;

/// <summary>Two cohorts asked over gRPC against R survdiff and survreg; sources are named in tests/Reference.</summary>
public sealed class ComparisonReferenceTests(SharedService shared)
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(name => ReferenceCase.Load(name).TwoSample is not null)];

    [Theory]
    [MemberData(nameof(Cases))]
    public async Task A_comparison_agrees_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.TwoSample!;
        var differences = new Differences();
        foreach (var level in (double[])[0.95, 0.9])
        {
            var answer = await CompareAsync(reference, level);
            foreach (var test in expected.Tests)
            {
                var actual = answer.Tests.Single(one => one.Name == test.Name);
                differences.Relative($"{name}, {test.Name}, statistic", test.Statistic, actual.Statistic, Tolerance.Statistic);
                differences.Relative($"{name}, {test.Name}, p", test.PValue, actual.PValue, Tolerance.PValue);
                Assert.Equal(test.DegreesOfFreedom, actual.DegreesOfFreedom);
            }

            foreach (var (effect, ratio) in expected.RatiosOfAOverB(level))
            {
                var actual = Asked.Answer(answer.Effects.Single(one => one.Name == effect).Estimate);
                differences.Relative($"{name}, {effect}", ratio.Value, actual.Value, Tolerance.Estimate);
                differences.Relative($"{name}, {effect}, lower {level}", ratio.Lower, actual.Lower, Tolerance.Bound);
                differences.Relative($"{name}, {effect}, upper {level}", ratio.Upper, actual.Upper, Tolerance.Bound);
            }

            Assert.Equal(["B", "A"], answer.Cohorts.Select(cohort => cohort.Name));
            Assert.All(answer.Cohorts, cohort => Assert.Equal(CohortResult.ResultOneofCase.Fit, cohort.ResultCase));
        }

        Assert.True(differences.Compared > 10);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    [Fact]
    public async Task A_cohort_without_failures_does_not_fail_the_call()
    {
        var failing = Asked.Sample(ReferenceCase.Load("nist_20_units").Observations);
        var lasting = Asked.Sample(ReferenceCase.Load("edge_zero_failures").Observations);
        var request = new CompareCohortsRequest
        {
            Groups = { new CohortGroup { Name = "new", Sample = failing }, new CohortGroup { Name = "refurbished", Sample = lasting } },
        };

        var answer = await shared.Clients.Analysis.CompareCohortsAsync(
            request, cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal(CohortResult.ResultOneofCase.Fit, answer.Cohorts[0].ResultCase);
        Assert.Equal("NO_FAILURES", answer.Cohorts[1].NotEstimable.Reason);
        Assert.Equal(Verdict.Types.Code.NotComparable, answer.Verdict.Code);
        Assert.Equal(20, answer.Cohorts[0].SampleSummary.LifeCount);
    }

    // Effects are of the second over the first, so B comes first.
    private async Task<CompareCohortsResponse> CompareAsync(ReferenceCase reference, double level) =>
        await shared.Clients.Analysis.CompareCohortsAsync(
            new CompareCohortsRequest
            {
                Groups =
                {
                    new CohortGroup { Name = "B", Sample = Asked.Sample(reference.Group("B")) },
                    new CohortGroup { Name = "A", Sample = Asked.Sample(reference.Group("A")) },
                },
                ConfidenceLevel = level,
                BoundsMethod = BoundsMethod.NormalApproximation,
            },
            cancellationToken: TestContext.Current.CancellationToken);
}
