using System.Net;
using System.Net.Http.Headers;
using System.Text;
using Google.Protobuf;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Refusals;

/// <summary>The documented limits hold, on gRPC and on JSON: RESOURCE_EXHAUSTED with the field.</summary>
public sealed class LimitTests(SharedService shared)
{
    private const int MebiByte = 1024 * 1024;

    [Fact]
    public async Task A_batch_has_at_most_1000_events()
    {
        var request = new RecordEventsRequest();
        request.Events.AddRange(Enumerable.Range(0, 1001).Select(i => new ModuleEvent { EventId = $"limit-{i}" }));

        await RefusedAsync(
            () => shared.Clients.History.RecordEventsAsync(request, cancellationToken: TestContext.Current.CancellationToken)
                .ResponseAsync,
            "events");
        await JsonRefusedAsync("/v1/events:record", request, "events");
    }

    [Fact]
    public async Task A_sample_has_at_most_200_000_observations()
    {
        var request = new FitLivesRequest { Sample = new() };
        var row = new LifeObservation { FailureHours = 1 };
        request.Sample.Observations.AddRange(Enumerable.Repeat(row, 200_001));

        await RefusedAsync(
            () => shared.Clients.Analysis.FitLivesAsync(request, cancellationToken: TestContext.Current.CancellationToken)
                .ResponseAsync,
            "sample.observations");
        await JsonRefusedAsync("/v1/lives:fit", request, "sample.observations");
    }

    [Fact]
    public async Task An_empty_batch_is_refused()
    {
        var refused = await Assert.ThrowsAsync<RpcException>(async () => await shared.Clients.History.RecordEventsAsync(
            new RecordEventsRequest(), cancellationToken: TestContext.Current.CancellationToken));

        Assert.Equal(StatusCode.InvalidArgument, refused.StatusCode);
        Assert.Equal(["events"], StatusDetails.Fields(StatusDetails.Of(refused)));
    }

    [Fact]
    public async Task A_message_has_at_most_32_mebibytes_on_grpc()
    {
        var request = new FitLivesRequest { LifeModel = new string('x', (32 * MebiByte) + 1) };

        var refused = await Assert.ThrowsAsync<RpcException>(async () => await shared.Clients.Analysis.FitLivesAsync(
            request, cancellationToken: TestContext.Current.CancellationToken));

        Assert.Equal(StatusCode.ResourceExhausted, refused.StatusCode);
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task A_body_has_at_most_32_mebibytes_on_json(bool lengthIsKnown)
    {
        var body = Encoding.UTF8.GetBytes($$"""{"lifeModel": "{{new string('x', 32 * MebiByte)}}"}""");
        using var content = new StreamContent(new MemoryStream(body));
        content.Headers.ContentType = new MediaTypeHeaderValue("application/json");
        using var request = new HttpRequestMessage(HttpMethod.Post, new Uri("/v1/lives:fit", UriKind.Relative)) { Content = content };
        request.Headers.TransferEncodingChunked = !lengthIsKnown;
        request.Headers.ExpectContinue = true;
        using var response = await shared.Clients.Http.SendAsync(request, TestContext.Current.CancellationToken);

        Assert.Equal(HttpStatusCode.TooManyRequests, response.StatusCode);
        var status = await StatusDetails.OfAsync(response);
        Assert.Equal((int)StatusCode.ResourceExhausted, status.Code);
        Assert.Equal(["(body)"], StatusDetails.Fields(status));
    }

    [Fact]
    public async Task A_sample_of_100_000_rows_is_answered()
    {
        var request = new FitLivesRequest { Sample = new() };
        request.Sample.Observations.AddRange(Enumerable.Range(1, 100_000).Select(i => i % 3 == 0
            ? new LifeObservation { FailureHours = 1000 * Math.Pow(-Math.Log(1 - (i / 100_001.0)), 0.5) }
            : new LifeObservation { SurvivalHours = 1000 * Math.Pow(-Math.Log(1 - (i / 100_001.0)), 0.5) }));

        var response = await shared.Clients.Analysis.FitLivesAsync(
            request, cancellationToken: TestContext.Current.CancellationToken);

        Assert.Equal(100_000, response.SampleSummary.LifeCount);
        Assert.Equal(33_333, response.SampleSummary.FailedCount);
        Assert.True(response.Fit.Parameters["shape"].Lower < response.Fit.Parameters["shape"].Upper);
    }

    private static async Task RefusedAsync(Func<Task> call, string field)
    {
        var refused = await Assert.ThrowsAsync<RpcException>(call);
        Assert.Equal(StatusCode.ResourceExhausted, refused.StatusCode);
        var status = StatusDetails.Of(refused);
        Assert.Equal("LIMIT_EXCEEDED", StatusDetails.Reason(status));
        Assert.Equal([field], StatusDetails.Fields(status));
    }

    private async Task JsonRefusedAsync(string route, IMessage request, string field)
    {
        using var content = new StringContent(JsonFormatter.Default.Format(request), Encoding.UTF8, "application/json");
        using var response = await shared.Clients.Http.PostAsync(
            new Uri(route, UriKind.Relative), content, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.TooManyRequests, response.StatusCode);
        var status = await StatusDetails.OfAsync(response);
        Assert.Equal("LIMIT_EXCEEDED", StatusDetails.Reason(status));
        Assert.Equal([field], StatusDetails.Fields(status));
    }
}
