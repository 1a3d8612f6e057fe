using Reliability.Engine.Abstractions;
using Reliability.Reference;

namespace Reliability.Engine.Tests.ReferenceValues;

/// <summary>Held shape: closed forms of IEC 61649 evaluated with R's chi-square quantiles; sources in tests/Reference.</summary>
public sealed class FixedShapeReferenceTests
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).FixedShapes.Count > 0)];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Fixed_shape_agrees_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var sample = Asked.Sample(reference.Observations);
        var differences = new Differences();
        foreach (var expected in reference.FixedShapes)
        {
            var label = $"{name}, shape {expected.Shape}";
            if (expected.Failures > 0)
                WithFailures(differences, label, sample, expected);
            foreach (var (confidence, scale) in expected.LowerBounds)
            {
                // One-sided at C: with failures it is the lower end of two sides at 2C - 1.
                var life = Fit(sample, expected.Shape, ReferenceBounds.ExactTimeTerminated, OneSided(confidence, expected));
                differences.Relative($"{label}, lower {confidence}", scale, Scale(life).Lower, Tolerance.Estimate);
            }

            var at95 = Fit(sample, expected.Shape, ReferenceBounds.ExactTimeTerminated, OneSided(0.95, expected));
            differences.Relative($"{label}, B10", expected.B10Lower95, at95.PercentileLife(0.1).Lower, Tolerance.Estimate);
            foreach (var (hours, lower) in expected.ReliabilityLower95)
            {
                differences.Relative(
                    $"{label}, reliability at {hours}", lower, at95.Reliability(hours).Lower, Tolerance.Estimate);
            }
        }

        Assert.True(differences.Compared > 3);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    [Fact]
    public void Without_failures_there_are_lower_bounds_and_no_value()
    {
        var sample = Asked.Sample(ReferenceCase.Load("edge_zero_failures").Observations);

        var life = Fit(sample, 2, ReferenceBounds.LikelihoodRatio, 0.9);

        Assert.Equal(BoundsMethod.Exact, life.BoundsMethod);
        Assert.Null(life.LogLikelihood);
        Assert.Empty(life.Covariance);
        foreach (var estimate in (BoundedEstimate[])
            [Scale(life), life.Mean(), life.PercentileLife(0.1), life.Reliability(500), life.RemainingLife(100, 0.5),
                life.MeanRemainingLife(100), life.ConditionalReliability(100, 50)])
        {
            Assert.Null(estimate.Value);
            Assert.Null(estimate.Upper);
            Assert.NotNull(estimate.Lower);
            Assert.Equal(BoundSide.Lower, estimate.Side);
        }

        Assert.Contains(life.Warnings, w => w.Code == WarningCodes.NoFailures);
        Assert.Contains(life.Warnings, w => w.Code == WarningCodes.AssumedParameter);
        var failed = life.Curve([500])[0].FailedFraction;
        Assert.Equal(BoundSide.Upper, failed.Side);
        Assert.Equal(1 - life.Reliability(500).Lower!.Value, failed.Upper!.Value, 1e-12);
    }

    private static void WithFailures(Differences differences, string label, LifeSample sample, ReferenceFixedShape expected)
    {
        foreach (var bounds in (ReferenceBounds[])[ReferenceBounds.ExactTimeTerminated, ReferenceBounds.ExactFailureTerminated])
        {
            foreach (var level in (double[])[0.95, 0.9])
            {
                var life = Fit(sample, expected.Shape, bounds, level);
                var scale = Scale(life);
                differences.Relative($"{label}, scale", expected.Scale, scale.Value, Tolerance.Estimate);
                differences.Relative(
                    $"{label}, standard error", expected.StandardErrorOfLogScale * expected.Scale, scale.StandardError,
                    Tolerance.Bound);
                differences.Note(
                    $"{label}, log-likelihood", expected.LogLikelihood, life.LogLikelihood,
                    Tolerance.LogLikelihood(expected.LogLikelihood!.Value, life.LogLikelihood), Tolerance.Estimate);
                var (lower, upper) = expected.TwoSided(bounds, level)!.Value;
                differences.Relative($"{label}, {bounds} {level}, lower", lower, scale.Lower, Tolerance.Estimate);
                differences.Relative($"{label}, {bounds} {level}, upper", upper, scale.Upper, Tolerance.Estimate);
            }
        }
    }

    private static double OneSided(double confidence, ReferenceFixedShape expected) =>
        expected.Failures > 0 ? 2 * confidence - 1 : confidence;

    private static IFittedLife Fit(LifeSample sample, double shape, ReferenceBounds bounds, double level)
    {
        var options = Asked.Options(bounds, level) with
        {
            FixedParameters = new Dictionary<string, double> { ["shape"] = shape },
        };
        return Asked.Model("weibull").Fit(sample, options, TestContext.Current.CancellationToken).Value;
    }

    private static BoundedEstimate Scale(IFittedLife life) => life.Parameters.Single(p => p.Name == "scale").Estimate;
}
