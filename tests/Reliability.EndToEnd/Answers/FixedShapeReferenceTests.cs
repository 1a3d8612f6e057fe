using Reliability.EndToEnd.Running;
using Reliability.Reference;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Answers;

/// <summary>Held shape asked over gRPC: closed forms of IEC 61649; sources are named in tests/Reference.</summary>
public sealed class FixedShapeReferenceTests(SharedService shared)
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(name => ReferenceCase.Load(name).FixedShapes.Count > 0)];

    [Theory]
    [MemberData(nameof(Cases))]
    public async Task A_held_shape_agrees_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var sample = Asked.Sample(reference.Observations);
        var differences = new Differences();
        foreach (var expected in reference.FixedShapes)
        {
            var label = $"{name}, shape {expected.Shape}";
            if (expected.Failures > 0)
                await WithFailuresAsync(differences, label, sample, expected);
            foreach (var (confidence, scale) in expected.LowerBounds)
            {
                // The contract takes levels from 0.5; the engine's own tests ask the rest.
                if (OneSided(confidence, expected) < 0.5)
                    continue;
                var fit = await FitAsync(sample, expected, ReferenceBounds.ExactTimeTerminated, OneSided(confidence, expected));
                differences.Relative(
                    $"{label}, lower {confidence}", scale, Asked.Answer(fit.Parameters["scale"]).Lower, Tolerance.Estimate);
            }

            var at95 = await FitAsync(sample, expected, ReferenceBounds.ExactTimeTerminated, OneSided(0.95, expected));
            var b10 = at95.PercentileLives.Single(life => life.FailureFraction == 0.1);
            differences.Relative($"{label}, B10", expected.B10Lower95, Asked.Answer(b10.Hours).Lower, Tolerance.Estimate);
            foreach (var (hours, lower) in expected.ReliabilityLower95)
            {
                var point = at95.Reliability.Single(point => point.Hours == hours);
                differences.Relative(
                    $"{label}, reliability at {hours}", lower, Asked.Answer(point.Probability).Lower, Tolerance.Estimate);
            }

            Assert.Equal(expected.Shape, at95.FixedParameters["shape"]);
            if (expected.Failures == 0)
            {
                Assert.False(at95.HasLogLikelihood);
                Assert.False(b10.Hours.HasValue);
                Assert.Equal(BoundSide.Lower, b10.Hours.BoundSide);
            }
        }

        Assert.True(differences.Compared > 3);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    private async Task WithFailuresAsync(
        Differences differences, string label, InlineSample sample, ReferenceFixedShape expected)
    {
        foreach (var bounds in (ReferenceBounds[])[ReferenceBounds.ExactTimeTerminated, ReferenceBounds.ExactFailureTerminated])
        {
            foreach (var level in (double[])[0.95, 0.9])
            {
                var fit = await FitAsync(sample, expected, bounds, level);
                var scale = Asked.Answer(fit.Parameters["scale"]);
                var (lower, upper) = expected.TwoSided(bounds, level)!.Value;
                differences.Relative($"{label}, scale", expected.Scale, scale.Value, Tolerance.Estimate);
                differences.Relative($"{label}, {bounds} {level}, lower", lower, scale.Lower, Tolerance.Estimate);
                differences.Relative($"{label}, {bounds} {level}, upper", upper, scale.Upper, Tolerance.Estimate);
                differences.Note(
                    $"{label}, log-likelihood", expected.LogLikelihood, fit.LogLikelihood,
                    Tolerance.LogLikelihood(expected.LogLikelihood!.Value, fit.LogLikelihood), Tolerance.Estimate);
            }
        }
    }

    // One-sided at C: with failures it is the lower end of two sides at 2C - 1.
    private static double OneSided(double confidence, ReferenceFixedShape expected) =>
        expected.Failures > 0 ? 2 * confidence - 1 : confidence;

    private async Task<LifeFit> FitAsync(
        InlineSample sample, ReferenceFixedShape expected, ReferenceBounds bounds, double level)
    {
        var request = Asked.Fit(sample, "weibull", bounds, level, []);
        request.FixedParameters.Add("shape", expected.Shape);
        request.ReliabilityHours.AddRange(expected.ReliabilityLower95.Select(pair => pair.Hours));
        var response = await shared.Clients.Analysis.FitLivesAsync(
            request, cancellationToken: TestContext.Current.CancellationToken);
        return response.Fit;
    }
}
