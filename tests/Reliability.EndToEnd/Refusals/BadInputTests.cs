using System.Net;
using System.Text;
using Google.Protobuf;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Refusals;

/// <summary>What can never work is refused the same way on gRPC and on JSON: status, reason, field, no internals.</summary>
public sealed class BadInputTests(SharedService shared)
{
    public static TheoryData<string> Names() => [.. BadInput.All.Select(bad => bad.Name)];

    [Theory]
    [MemberData(nameof(Names))]
    public async Task Grpc_refuses_it_and_names_the_field(string name)
    {
        var bad = BadInput.All.Single(one => one.Name == name);

        var refused = await Assert.ThrowsAsync<RpcException>(() => CallAsync(bad.Request));

        Assert.Equal(StatusCode.InvalidArgument, refused.StatusCode);
        var status = StatusDetails.Of(refused);
        Assert.NotEmpty(StatusDetails.Reason(status));
        Assert.Contains(bad.Field, StatusDetails.Fields(status));
    }

    [Theory]
    [MemberData(nameof(Names))]
    public async Task Json_refuses_it_and_names_the_same_field(string name)
    {
        var bad = BadInput.All.Single(one => one.Name == name);

        using var content = new StringContent(Json(bad.Request), Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PostAsync(
            new Uri(bad.Route, UriKind.Relative), content, TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.BadRequest, response.StatusCode);
        var status = await StatusDetails.OfAsync(response);
        Assert.Equal((int)StatusCode.InvalidArgument, status.Code);
        Assert.NotEmpty(StatusDetails.Reason(status));
        Assert.Contains(bad.Field, StatusDetails.Fields(status));
    }

    // The name of a module stands in the path, not in the body.
    private static string Json(IMessage request)
    {
        var sent = request is PredictFailureRequest predict ? new PredictFailureRequest(predict) { Name = string.Empty } : request;
        return JsonFormatter.Default.Format(sent);
    }

    private async Task CallAsync(IMessage request)
    {
        var token = TestContext.Current.CancellationToken;
        var clients = shared.Clients;
        switch (request)
        {
            case FitLivesRequest fit: await clients.Analysis.FitLivesAsync(fit, cancellationToken: token); break;
            case EstimateSurvivalRequest estimate:
                await clients.Analysis.EstimateSurvivalAsync(estimate, cancellationToken: token);
                break;
            case EstimateReplacementsRequest replacements:
                await clients.Analysis.EstimateReplacementsAsync(replacements, cancellationToken: token);
                break;
            case AssessLifeModelsRequest assess:
                await clients.Analysis.AssessLifeModelsAsync(assess, cancellationToken: token);
                break;
            case CompareCohortsRequest compare:
                await clients.Analysis.CompareCohortsAsync(compare, cancellationToken: token);
                break;
            case PredictFailureRequest predict:
                await clients.Forecast.PredictFailureAsync(predict, cancellationToken: token);
                break;
            case PredictFailuresRequest predict:
                using (var call = clients.Forecast.PredictFailures(predict, cancellationToken: token))
                    await call.ResponseStream.MoveNext(token);
                break;
            default: throw new ArgumentException($"No call for {request.Descriptor.Name}.", nameof(request));
        }
    }
}
