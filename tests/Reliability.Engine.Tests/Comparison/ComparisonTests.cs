using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.Bounds;
using Reliability.Engine.Tests.ReferenceValues;
using Reliability.Reference;

namespace Reliability.Engine.Tests.Comparison;

public sealed class ComparisonTests
{
    private const double HalfChiSquare = 1.9207294103470644;

    private static LifeSample Group(string name, string group) => Asked.Sample(ReferenceCase.Load(name).Group(group));

    /// <summary>The joint profile of the ratio, maximised over the denominator's value by golden section.</summary>
    [Theory]
    [InlineData("leukaemia_6mp", "b10-ratio")]
    [InlineData("leukaemia_6mp", "mean-ratio")]
    [InlineData("aml_maintenance", "median-ratio")]
    public void Ratio_bounds_lie_where_the_joint_profile_has_fallen_by_half_a_chi_square(string name, string effect)
    {
        var (a, b) = (Group(name, "A"), Group(name, "B"));
        var comparison = ((ICohortComparer)Asked.Model("weibull")).Compare([a, b], FitOptions.Default);
        var (lifeA, lifeB) = (comparison.Fits[0].Value, comparison.Fits[1].Value);
        Func<IFittedLife, BoundedEstimate> question = effect switch
        {
            "b10-ratio" => life => life.PercentileLife(0.1),
            "median-ratio" => life => life.PercentileLife(0.5),
            _ => life => life.Mean(),
        };
        var greatest = lifeA.LogLikelihood!.Value + lifeB.LogLikelihood!.Value;
        var ratio = comparison.Effects.Single(e => e.Name == effect).Ratio;
        foreach (var bound in (double[])[ratio.Lower!.Value, ratio.Upper!.Value])
        {
            double Joint(double logA) =>
                PlainLikelihood.Profile("weibull", a, lifeA, Math.Exp(logA), question)
                + PlainLikelihood.Profile("weibull", b, lifeB, Math.Exp(logA) * bound, question);
            var estimate = Math.Log(question(lifeA).Value!.Value);
            double low = estimate - 2, high = estimate + 2;
            for (var i = 0; i < 22; i++)
            {
                var (c, d) = (low + 0.381966 * (high - low), high - 0.381966 * (high - low));
                if (Joint(c) > Joint(d))
                    high = d;
                else
                    low = c;
            }

            var fallen = greatest - Joint((low + high) / 2);
            Assert.True(Math.Abs(fallen - HalfChiSquare) < 1e-5, $"{bound}: profile fell by {fallen:R}");
        }
    }

    /// <summary>
    /// One failure against six: far from what the variances say of where the likelihood is best spent. Bounds by profiling each
    /// cohort in R 4.2 (optim, optimize, uniroot on a likelihood written out there); invented data.
    /// </summary>
    [Theory]
    [InlineData("b10-ratio", 3.81478444249816e-05, 94.07987938474)]
    [InlineData("median-ratio", 0.340028702724898, 8508669.89973713)]
    [InlineData("mean-ratio", 0.277073637786921, 644103520821801)]
    public void Ratio_bounds_are_the_widest_where_one_cohort_says_little(string effect, double lower, double upper)
    {
        var several = new LifeSampleBuilder();
        foreach (var hours in (double[])[410, 760, 1130, 1390, 1880, 2210])
            several.AddFailed(hours);
        foreach (var hours in (double[])[900, 1500, 2000, 2600, 2600])
            several.AddSurvived(hours);
        var single = new LifeSampleBuilder().AddFailed(500).AddSurvived(1000, count: 4);

        var comparison = ((ICohortComparer)Asked.Model("weibull")).Compare([several.Build(), single.Build()], FitOptions.Default);

        var ratio = comparison.Effects.Single(e => e.Name == effect).Ratio;
        Assert.Equal(0, Math.Log(ratio.Lower!.Value / lower), 6);
        Assert.Equal(0, Math.Log(ratio.Upper!.Value / upper), 6);
    }

    [Fact]
    public void A_cohort_without_failures_leaves_its_reason_and_does_not_fail_the_call()
    {
        var failing = Group("leukaemia_6mp", "A");
        var without = new LifeSampleBuilder().AddSurvived(20, count: 10).Build();

        var comparison = ((ICohortComparer)Asked.Model("weibull")).Compare([failing, without], FitOptions.Default);

        Assert.Null(comparison.Fits[0].NotEstimable);
        Assert.Equal(NotEstimableReasons.NoFailures, comparison.Fits[1].NotEstimable?.Reason);
        Assert.Null(comparison.CommonFit.NotEstimable);
        Assert.All(comparison.Tests, t => Assert.Equal(NotEstimableReasons.CohortNotEstimable, t.NotEstimable?.Reason));
        Assert.All(comparison.Effects, e => Assert.Null(e.Ratio.Value));
        Assert.All(comparison.Effects, e => Assert.NotEmpty(e.Ratio.Notes));
        Assert.NotNull(Asked.Catalog.Nonparametric.LogRank([failing, without]).PValue);
    }

    [Fact]
    public void Interval_lives_refuse_the_log_rank_test_and_leave_the_others()
    {
        var (a, b) = (Group("breast_cosmesis", "A"), Group("breast_cosmesis", "B"));

        var comparison = ((ICohortComparer)Asked.Model("lognormal")).Compare([a, b], FitOptions.Default);

        Assert.Equal(
            NotEstimableReasons.IntervalOutcomes, Asked.Catalog.Nonparametric.LogRank([a, b]).NotEstimable?.Reason);
        Assert.All(comparison.Tests, t => Assert.NotNull(t.PValue));
        Assert.All(comparison.Effects, e => Assert.NotNull(e.Ratio.Value));
    }

    [Fact]
    public void A_cohort_split_in_two_loses_no_evidence()
    {
        // The hypothesis of one life for all is the same; the alternative of three cohorts holds that of two within it.
        var reference = ReferenceCase.Load("veteran").Group("A");
        var (a, b) = (Group("veteran", "A"), Group("veteran", "B"));
        var (first, second) = (Asked.Sample(reference.Where((_, i) => i % 2 == 0)), Asked.Sample(reference.Where((_, i) => i % 2 == 1)));
        var comparer = (ICohortComparer)Asked.Model("weibull");

        var two = comparer.Compare([a, b], FitOptions.Default);
        var three = comparer.Compare([first, second, b], FitOptions.Default);

        foreach (var (name, degrees) in new[] { (CohortTestNames.EqualLife, 4), (CohortTestNames.EqualScaleGivenShape, 2) })
        {
            var test = three.Tests.Single(t => t.Name == name);
            Assert.Equal(degrees, test.DegreesOfFreedom);
            Assert.True(test.Statistic > two.Tests.Single(t => t.Name == name).Statistic);
        }

        Assert.Equal([(1, 0), (2, 0)], three.Effects.Select(e => (e.Cohort, e.Reference)).Distinct());
        var logRank = Asked.Catalog.Nonparametric.LogRank([first, second, b]);
        Assert.Equal(2, logRank.DegreesOfFreedom);
        Assert.True(logRank.Statistic > Asked.Catalog.Nonparametric.LogRank([a, b]).Statistic);
    }

    [Fact]
    public void The_shape_free_model_gives_scale_and_life_tests_alone()
    {
        var (a, b) = (Group("veteran", "A"), Group("veteran", "B"));

        var comparison = ((ICohortComparer)Asked.Model("exponential")).Compare([a, b], FitOptions.Default);

        // Two exponential samples: 2 (l_A + l_B - l) in closed form (Lawless 2003, 4.2).
        var (r1, t1) = Total(a);
        var (r2, t2) = Total(b);
        var expected = 2 * (r1 * Math.Log(r1 / t1) + r2 * Math.Log(r2 / t2) - (r1 + r2) * Math.Log((r1 + r2) / (t1 + t2)));
        Assert.Equal([CohortTestNames.EqualScaleGivenShape, CohortTestNames.EqualLife], comparison.Tests.Select(t => t.Name));
        Assert.All(comparison.Tests, t => Assert.Equal(expected, t.Statistic!.Value, 1e-8));

        static (double, double) Total(LifeSample sample)
        {
            double hours = 0;
            for (var i = 0; i < sample.RowCount; i++)
                hours += sample.Counts[i] * sample.LowerHours[i];
            return (sample.FailedCount, hours);
        }
    }
}
