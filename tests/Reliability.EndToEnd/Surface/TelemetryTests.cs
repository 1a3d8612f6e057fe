using System.Diagnostics;
using System.Globalization;
using Grpc.Core;
using Microsoft.Extensions.DependencyInjection;
using OpenTelemetry.Metrics;
using OpenTelemetry.Trace;
using Reliability.EndToEnd.Records;
using Reliability.EndToEnd.Running;
using Reliability.Service.Hosting;
using Reliability.Store;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Surface;

/// <summary>Traces and metrics run from gRPC through the store and the database to our fits, and tell no secrets.</summary>
public sealed class TelemetryTests
{
    private const string Note = "a note for nobody's eyes", Actor = "actor-4711";

    [Fact]
    public async Task Spans_and_meters_cover_the_whole_way()
    {
        var token = TestContext.Current.CancellationToken;
        var folder = TemporaryFolder.Create();
        var (grpcPort, httpPort) = FreePorts.Take();
        var (spans, metrics) = (new List<Activity>(), new List<Metric>());
        // Sources are those of the process: other tests that run a service in it may fit meanwhile, in traces of their own.
        var (whole, givenUp) = (ActivityTraceId.CreateRandom(), ActivityTraceId.CreateRandom());
        await using (var app = ServiceProgram.Build(
            [$"--Endpoints:Grpc={Address(grpcPort)}", $"--Endpoints:Http={Address(httpPort)}", "--DataDirectory=" + folder],
            builder => builder.Services.AddOpenTelemetry()
                .WithTracing(traces => traces.AddInMemoryExporter(spans))
                .WithMetrics(meters => meters.AddInMemoryExporter(metrics))))
        {
            await app.Services.GetRequiredService<ReliabilityStore>().StartAsync(token);
            await app.StartAsync(token);
            using var clients = new ServiceClients(Address(grpcPort), Address(httpPort));
            var posting = new Posting(clients, "telemetry");
            var posted = posting.Event("e1", "modules/telemetry", Posting.Time(2024, 1, 1), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = 3 } } });
            (posted.Note, posted.ActorId) = (Note, Actor);
            await posting.ReceiptsAsync(posted);
            await clients.Analysis.FitLivesAsync(
                new FitLivesRequest { Sample = new() { Observations = { new LifeObservation { FailureHours = 100 }, new LifeObservation { SurvivalHours = 300 } } } },
                Within(whole), cancellationToken: token);
            await CancelSlowFitAsync(clients, givenUp, token);
            await FitsEndedAsync(spans, [whole, givenUp], token);
            app.Services.GetRequiredService<MeterProvider>().ForceFlush();
            await app.StopAsync(token);
        }

        Directory.Delete(folder, recursive: true);
        var sources = spans.Select(span => span.Source.Name).Distinct().ToList();
        Assert.Contains("Microsoft.AspNetCore", sources);
        Assert.Contains("Npgsql", sources);
        Assert.Contains("Reliability.Store", sources);
        Assert.Contains("Reliability.Analysis", sources);
        var fit = spans.Single(span => span.Source.Name == "Reliability.Analysis" && span.TraceId == whole);
        Assert.Equal(("fit", 2), (fit.DisplayName, fit.GetTagItem("reliability.rows")));
        Assert.Equal(ActivityStatusCode.Unset, fit.Status);
        // The cancellation reached the optimiser: the work was stopped, not only the call.
        var stopped = spans.Single(span => span.Source.Name == "Reliability.Analysis" && span.TraceId == givenUp);
        Assert.Equal((ActivityStatusCode.Error, "cancelled"), (stopped.Status, stopped.StatusDescription));
        Assert.Contains(spans, span => span.SpanId == fit.ParentSpanId);
        var meters = metrics.Select(metric => metric.MeterName).Distinct().ToList();
        Assert.Contains("Reliability.Service", meters);
        Assert.Contains("Reliability.Analysis", meters);
        Assert.Contains("Npgsql", meters);
        Assert.Contains("Microsoft.AspNetCore.Hosting", meters);

        var told = string.Join('\n', spans.SelectMany(span => span.TagObjects).Select(tag => tag.Value?.ToString()));
        Assert.DoesNotContain(Note, told, StringComparison.Ordinal);
        Assert.DoesNotContain(Actor, told, StringComparison.Ordinal);
    }

    /// <summary>Gives up on a fit once the optimiser is at work.</summary>
    private static async Task CancelSlowFitAsync(ServiceClients clients, ActivityTraceId trace, CancellationToken token)
    {
        var begun = new TaskCompletionSource();
        using var listener = new ActivityListener
        {
            ShouldListenTo = source => source.Name == "Reliability.Analysis",
            ActivityStarted = activity =>
            {
                if (activity.TraceId == trace)
                    begun.TrySetResult();
            },
        };
        ActivitySource.AddActivityListener(listener);
        using var cancel = CancellationTokenSource.CreateLinkedTokenSource(token);
        using var call = clients.Analysis.FitLivesAsync(SlowFit.Request(), Within(trace), cancellationToken: cancel.Token);
        await begun.Task.WaitAsync(token);
        await cancel.CancelAsync();
        var gone = await Assert.ThrowsAsync<RpcException>(() => call.ResponseAsync);
        Assert.Equal(Grpc.Core.StatusCode.Cancelled, gone.StatusCode);
    }

    /// <summary>Headers that make a call part of a trace.</summary>
    private static Metadata Within(ActivityTraceId trace) => new() { { "traceparent", $"00-{trace}-{ActivitySpanId.CreateRandom()}-01" } };

    private static async Task FitsEndedAsync(List<Activity> spans, ActivityTraceId[] traces, CancellationToken token)
    {
        while (!traces.All(trace => spans.ToArray().Any(span => span?.Source.Name == "Reliability.Analysis" && span.TraceId == trace)))
            await Task.Delay(20, token);
    }

    private static Uri Address(int port) => new(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{port}"));
}
