using Reliability.Engine.Abstractions;
using Reliability.Engine.Families;
using Reliability.Engine.Tests.ReferenceValues;
using Reliability.Reference;

namespace Reliability.Engine.Tests.Families;

/// <summary>The Weibull with location: against values recomputed with R (tests/Reference), and its traps.</summary>
public sealed class Weibull3Tests
{
    private const double HalfChiSquare = 1.9207294103470644;

    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(name => ReferenceCase.Load(name).Weibull3 is not null)];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Maximum_profile_and_ratio_agree_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.Weibull3!;
        var sample = Asked.Sample(reference.Observations);
        var life = Asked.Model("weibull3").Fit(sample, new FitOptions { BoundsMethod = BoundsMethod.NormalApproximation }).Value;

        var differences = new Reliability.Reference.Differences();
        foreach (var parameter in life.Parameters)
            differences.Relative($"{name} {parameter.Name}", expected.Parameter(parameter.Name), parameter.Estimate.Value, Tolerance.NumericalEstimate);
        differences.Note(
            $"{name} log-likelihood", expected.LogLikelihood, life.LogLikelihood, Tolerance.LogLikelihood(expected.LogLikelihood, life.LogLikelihood), Tolerance.Estimate);
        for (var i = 0; i < 9; i++)
        {
            var size = Math.Sqrt(expected.Covariance[i / 3 * 4] * expected.Covariance[i % 3 * 4]);
            differences.Note(
                $"{name} covariance {i}", expected.Covariance[i], life.Covariance[i], Math.Abs(life.Covariance[i] - expected.Covariance[i]) / size, Tolerance.NumericalBound);
        }

        var profile = new LocationProfile(sample);
        foreach (var (location, logLikelihood, shape) in expected.Profile.Where(p => p.Shape > 1))
        {
            var at = profile.At(location, CancellationToken.None)!;
            differences.Note($"{name} profile at {location}", logLikelihood, at.Value, Tolerance.LogLikelihood(logLikelihood, at.Value), Tolerance.Estimate);
            differences.Relative($"{name} shape at {location}", shape, at.Shape, Tolerance.NumericalEstimate);
        }

        differences.Note(
            $"{name} ratio", expected.RatioToLocationZero, null,
            Math.Abs(2 * (life.LogLikelihood!.Value - profile.At(0, CancellationToken.None)!.Value) - expected.RatioToLocationZero), 1e-6);
        Assert.True(differences.Compared > 25);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    [Fact]
    public void Says_whether_the_lives_tell_the_location_from_0_by_half_of_chi_square()
    {
        // Ratio 6.996: p = 0.0041; ratio 0.020: p = 0.44.
        Assert.DoesNotContain(Fitted("sim_weibull3").Warnings, w => w.Code == WarningCodes.LocationNotDistinguished);
        var warning = Fitted("shock_absorbers").Warnings.Single(w => w.Code == WarningCodes.LocationNotDistinguished);

        Assert.Contains("0.0203, p = 0.443", warning.Text, StringComparison.Ordinal);
        Assert.Contains(Fitted("shock_absorbers").Warnings, w => w.Code == WarningCodes.ShapeConstrained);
    }

    /// <summary>The bounds against their definition, by a search written anew: at a bound the greatest likelihood among
    /// parameters that give its value, shape 1 or more and location 0 or more, lies half a chi-square below the maximum.</summary>
    [Theory]
    [MemberData(nameof(Cases))]
    public void Bounds_lie_where_the_profile_has_fallen_by_half_a_chi_square(string name)
    {
        var sample = Asked.Sample(ReferenceCase.Load(name).Observations);
        var life = Fitted(name);
        var asked = 0;
        foreach (var fraction in (double[])[0.01, 0.1, 0.5, 0.9])
        {
            var estimate = life.PercentileLife(fraction);
            Assert.True(estimate.Lower < estimate.Value && estimate.Value < estimate.Upper);
            foreach (var bound in (double[])[estimate.Lower!.Value, estimate.Upper!.Value])
            {
                asked++;
                var fallen = life.LogLikelihood!.Value - Profile(sample, fraction, bound);
                Assert.True(Math.Abs(fallen - HalfChiSquare) < 2e-5, $"B{100 * fraction} {bound:R}: profile fell by {fallen:R}");
            }
        }

        Assert.Equal(8, asked);
    }

    /// <summary>Below the location R is 1, but that is estimated too: R(t) is at least q just when the life that 1 - q fail by may be t.</summary>
    [Fact]
    public void Below_the_location_reliability_has_the_lower_bound_that_percentile_lives_have()
    {
        var life = Fitted("sim_weibull3");
        var hours = life.Parameters[2].Estimate.Value!.Value - 1e-3;

        var reliability = life.Reliability(hours);

        Assert.Equal(1, reliability.Value);
        Assert.Equal(1, reliability.Upper);
        Assert.InRange(reliability.Lower!.Value, 0.5, 0.9999);
        Assert.Equal(hours, life.PercentileLife(1 - reliability.Lower!.Value).Lower!.Value, hours * 1e-5);
    }

    [Fact]
    public void Lives_skewed_to_early_failures_put_the_location_at_0_and_the_answer_says_so()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 40; i++)
            builder.AddFailed(1000 + 200 * Math.Log(-Math.Log(1 - (i + 0.5) / 40)));
        var sample = builder.Build();

        var life = Asked.Model("weibull3").Fit(sample, FitOptions.Default).Value;
        var plain = Asked.Model("weibull").Fit(sample, FitOptions.Default).Value;

        Assert.Contains(life.Warnings, w => w.Code == WarningCodes.LocationAtZero);
        Assert.Equal(0, life.Parameters[2].Estimate.Value);
        Assert.Equal(0, life.Parameters[2].Estimate.Lower);
        Assert.InRange(life.Parameters[2].Estimate.Upper!.Value, 1e-6, sample.EarliestFailureHours);
        Assert.Equal(plain.LogLikelihood!.Value, life.LogLikelihood!.Value, 1e-9);

        // What is likely enough at location 0 is so here too: bounds can only be wider.
        foreach (var fraction in (double[])[0.01, 0.1, 0.5, 0.9])
        {
            var (wide, narrow) = (life.PercentileLife(fraction), plain.PercentileLife(fraction));
            Assert.Equal(1, wide.Value!.Value / narrow.Value!.Value, 1e-7);
            Assert.True(wide.Lower <= narrow.Lower * (1 + 1e-9) && wide.Upper >= narrow.Upper * (1 - 1e-9), $"{wide} {narrow}");
        }
    }

    [Fact]
    public void Shapes_below_1_are_refused_with_their_reason()
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 30; i++)
            builder.AddFailed(1000 * Math.Pow(-Math.Log(1 - (i + 0.5) / 30), 1 / 0.5));

        Assert.Equal(
            NotEstimableReasons.MaximumAtBorder, Asked.Model("weibull3").Fit(builder.Build(), FitOptions.Default).NotEstimable?.Reason);
    }

    [Fact]
    public void Late_entry_before_the_location_says_nothing_and_a_survivor_before_it_neither()
    {
        var reference = ReferenceCase.Load("sim_weibull3").Observations;
        var plain = Asked.Sample(reference);
        var more = Asked.Sample(reference.Select((o, i) => i % 2 == 0 ? o with { Entry = 30 + i } : o)
            .Append(new ReferenceObservation { Time = 20, Kind = "right", Count = 5 }));

        var (first, second) = (Asked.Model("weibull3").Fit(plain, FitOptions.Default).Value, Asked.Model("weibull3").Fit(more, FitOptions.Default).Value);

        Assert.Equal(first.LogLikelihood!.Value, second.LogLikelihood!.Value, 1e-7);
        for (var i = 0; i < 3; i++)
            Assert.Equal(1, second.Parameters[i].Estimate.Value!.Value / first.Parameters[i].Estimate.Value!.Value, 1e-6);
    }

    private static IFittedLife Fitted(string name) =>
        Asked.Model("weibull3").Fit(Asked.Sample(ReferenceCase.Load(name).Observations), FitOptions.Default).Value;

    /// <summary>The greatest log-likelihood of exact and right-censored lives at which a fraction has failed by an age.</summary>
    private static double Profile(LifeSample sample, double fraction, double age)
    {
        var last = Math.Min(age, sample.EarliestFailureHours) * (1 - 1e-9);
        double AtLocation(double location) => Greatest(
            logShape =>
            {
                var shape = Math.Exp(logShape);
                var scale = (age - location) / Math.Pow(-Math.Log(1 - fraction), 1 / shape);
                double sum = 0;
                for (var i = 0; i < sample.RowCount; i++)
                {
                    var hours = sample.LowerHours[i] - location;
                    if (hours <= 0)
                        continue;
                    var z = shape * Math.Log(hours / scale);
                    sum += sample.Counts[i] * ((sample.Outcomes[i] == LifeOutcome.Failed ? Math.Log(shape / hours) + z : 0) - Math.Exp(z));
                }

                return sum;
            }, 0, 4, 41);

        return Greatest(AtLocation, 0, last, 60);
    }

    /// <summary>The greatest value on a grid, then by golden sections around it.</summary>
    private static double Greatest(Func<double, double> f, double low, double high, int points)
    {
        var best = 0;
        double[] grid = [.. Enumerable.Range(0, points).Select(i => low + (high - low) * i / (points - 1))];
        double[] values = [.. grid.Select(f)];
        for (var i = 1; i < points; i++)
        {
            if (values[i] > values[best])
                best = i;
        }

        var (from, to) = (grid[Math.Max(best - 1, 0)], grid[Math.Min(best + 1, points - 1)]);
        var ratio = (Math.Sqrt(5) - 1) / 2;
        var (left, right) = (to - ratio * (to - from), from + ratio * (to - from));
        var (atLeft, atRight) = (f(left), f(right));
        var greatest = values[best];
        for (var i = 0; i < 45; i++)
        {
            if (atLeft > atRight)
            {
                (to, right, atRight) = (right, left, atLeft);
                left = to - ratio * (to - from);
                atLeft = f(left);
            }
            else
            {
                (from, left, atLeft) = (left, right, atRight);
                right = from + ratio * (to - from);
                atRight = f(right);
            }

            greatest = Math.Max(greatest, Math.Max(atLeft, atRight));
        }

        return greatest;
    }
}
