using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;
using Reliability.Reference;

namespace Reliability.Engine.Tests.Bounds;

/// <summary>
/// Likelihood-ratio bounds held against their definition, by a maximisation written anew: at a bound the greatest
/// likelihood among parameters that give the bound's value lies chi-square(0.95, 1)/2 below the maximum.
/// </summary>
public sealed class ProfileTests
{
    private const double HalfChiSquare = 1.9207294103470644;

    public static TheoryData<string, string> Cases() => new()
    {
        { "nist_20_units", "weibull" },
        { "nist_20_units", "lognormal" },
        { "edge_two_failures", "weibull" },
        { "psychiatric_late_entry", "weibull" },
        { "turbine_wheels", "lognormal" },
        { "sim_mixed_censoring", "weibull" },
    };

    [Theory]
    [MemberData(nameof(Cases))]
    public void Bounds_lie_where_the_profile_has_fallen_by_half_a_chi_square(string name, string model)
    {
        var sample = Asked.Sample(ReferenceCase.Load(name).Observations);
        var life = Asked.Model(model).Fit(sample, FitOptions.Default).Value;
        var greatest = life.LogLikelihood!.Value;
        var age = sample.OldestHours / 2;
        foreach (var (what, question) in new (string, Func<IFittedLife, BoundedEstimate>)[]
        {
            ("mean", l => l.Mean()),
            ("B10", l => l.PercentileLife(0.1)),
            ("reliability", l => l.Reliability(age)),
            ("conditional reliability", l => l.ConditionalReliability(age, age / 2)),
            ("median remaining", l => l.RemainingLife(age, 0.5)),
            ("mean remaining", l => l.MeanRemainingLife(age)),
        })
        {
            var answer = question(life);
            foreach (var bound in (double[])[answer.Lower!.Value, answer.Upper!.Value])
            {
                var fallen = greatest - PlainLikelihood.Profile(model, sample, life, bound, question);
                Assert.True(Math.Abs(fallen - HalfChiSquare) < 2e-6, $"{what} {bound}: profile fell by {fallen:R}");
            }
        }
    }
}
