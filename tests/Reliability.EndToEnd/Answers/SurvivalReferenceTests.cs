using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.Reference;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Answers;

/// <summary>Kaplan-Meier and Nelson-Aalen asked over gRPC against R survfit; sources are named in tests/Reference.</summary>
public sealed class SurvivalReferenceTests(SharedService shared)
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(name => ReferenceCase.Load(name).Survival is not null)];

    [Theory]
    [MemberData(nameof(Cases))]
    public async Task Survival_agrees_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.Survival!;

        var answer = await shared.Clients.Analysis.EstimateSurvivalAsync(
            new EstimateSurvivalRequest { Sample = Asked.Sample(reference.Observations) },
            cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal(0.95, answer.ConfidenceLevel);
        Assert.Equal(expected.Hours.Count, answer.Points.Count);
        var differences = new Differences();
        var (reliability, lower, upper, hazard) =
            (expected.Reliability, expected.Lower95, expected.Upper95, expected.CumulativeHazard);
        var (hours, atRisk, failures) = (expected.Hours, expected.AtRisk, expected.Failures);
        for (var k = 0; k < answer.Points.Count; k++)
        {
            var point = answer.Points[k];
            var label = $"{name}, {point.Hours} h";
            Assert.Equal(hours[k], point.Hours);
            Assert.Equal(atRisk[k], point.AtRisk);
            Assert.Equal(failures[k], point.Failures);
            var survived = Asked.Answer(point.Reliability);
            differences.Relative($"{label}, reliability", reliability[k], survived.Value, Tolerance.Nonparametric);
            differences.Relative($"{label}, lower", lower[k], survived.Lower, Tolerance.Nonparametric);
            differences.Relative($"{label}, upper", upper[k], survived.Upper, Tolerance.Nonparametric);
            differences.Relative(
                $"{label}, cumulative hazard", hazard[k], Asked.Answer(point.CumulativeHazard).Value, Tolerance.Nonparametric);
        }

        Assert.True(differences.Compared > 0);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    [Fact]
    public async Task Survival_with_intervals_is_a_failed_precondition()
    {
        var sample = Asked.Sample(ReferenceCase.Load("turbine_wheels").Observations);

        var refused = await Assert.ThrowsAsync<RpcException>(async () => await shared.Clients.Analysis.EstimateSurvivalAsync(
            new EstimateSurvivalRequest { Sample = sample }, cancellationToken: TestContext.Current.CancellationToken));

        Assert.Equal(StatusCode.FailedPrecondition, refused.StatusCode);
        Assert.Equal("INTERVAL_OUTCOMES", StatusDetails.Reason(StatusDetails.Of(refused)));
    }
}
