using System.Net;
using Grpc.Health.V1;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Surface;

/// <summary>Health, by grpc.health.v1 and by HTTP.</summary>
public sealed class HealthTests(SharedService shared)
{
    [Theory]
    [InlineData("")]
    [InlineData("reliability.v1.ModuleCatalogService")]
    [InlineData("reliability.v1.ModuleHistoryService")]
    [InlineData("reliability.v1.LifeAnalysisService")]
    [InlineData("reliability.v1.LifeForecastService")]
    public async Task Grpc_health_tells_that_each_service_serves(string service)
    {
        var answer = await new Health.HealthClient(shared.Clients.Channel).CheckAsync(
            new HealthCheckRequest { Service = service }, cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal(HealthCheckResponse.Types.ServingStatus.Serving, answer.Status);
    }

    [Theory]
    [InlineData("/healthz/live")]
    [InlineData("/healthz/ready")]
    public async Task Http_health_answers_200(string route)
    {
        using var answer = await shared.Clients.Http.GetAsync(
            new Uri(route, UriKind.Relative), TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.OK, answer.StatusCode);
    }
}
