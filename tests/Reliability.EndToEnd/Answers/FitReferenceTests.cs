using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.Reference;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Answers;

/// <summary>Fits asked over gRPC against values recomputed with R survival; sources are named in tests/Reference.</summary>
public sealed class FitReferenceTests(SharedService shared)
{
    public static TheoryData<string, string> Fits()
    {
        var data = new TheoryData<string, string>();
        foreach (var name in ReferenceCase.Names)
        {
            foreach (var fit in ReferenceCase.Load(name).Fits)
                data.Add(name, fit.LifeModel);
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(Fits))]
    public async Task A_fit_agrees_with_the_reference(string name, string lifeModel)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.Fits.Single(fit => fit.LifeModel == lifeModel);
        var sample = Asked.Sample(reference.Observations);
        var differences = new Differences();
        foreach (var bounds in Enum.GetValues<ReferenceBounds>())
        {
            foreach (var level in (double[])[0.95, 0.9])
            {
                var questions = expected.Expectations(bounds, level);
                if (questions.Count == 0)
                    continue;
                var request = Asked.Fit(sample, lifeModel, bounds, level, questions.Select(pair => pair.Question));
                var response = await shared.Clients.Analysis.FitLivesAsync(
                    request, cancellationToken: TestContext.Current.CancellationToken);
                var fit = response.Fit;
                Assert.Equal(level, fit.ConfidenceLevel);
                Assert.Equal(Asked.Bounds(bounds), fit.BoundsMethod);
                expected.Compare(
                    differences, $"{name}, {lifeModel}", bounds, level, question => Asked.Find(fit, question));
                expected.CompareWhole(
                    differences, $"{name}, {lifeModel}", fit.HasLogLikelihood ? fit.LogLikelihood : null,
                    fit.ParameterOrder, fit.Covariance);
            }
        }

        Assert.True(differences.Compared > 10);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    public static TheoryData<string> NotEstimableCases() =>
        [.. ReferenceCase.Names.Where(name => ReferenceCase.Load(name).WeibullNotEstimable is not null)];

    [Theory]
    [MemberData(nameof(NotEstimableCases))]
    public async Task A_fit_without_a_maximum_is_a_failed_precondition_with_a_reason(string name)
    {
        var request = new FitLivesRequest { Sample = Asked.Sample(ReferenceCase.Load(name).Observations) };

        var refused = await Assert.ThrowsAsync<RpcException>(async () => await shared.Clients.Analysis.FitLivesAsync(
            request, cancellationToken: TestContext.Current.CancellationToken));

        Assert.Equal(StatusCode.FailedPrecondition, refused.StatusCode);
        Assert.Equal(
            name == "edge_zero_failures" ? "NO_FAILURES" : "ALL_FAILURES_AT_GREATEST_TIME",
            StatusDetails.Reason(StatusDetails.Of(refused)));
    }
}
