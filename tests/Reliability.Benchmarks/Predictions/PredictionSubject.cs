using System.Diagnostics;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Reliability.Benchmarks.Harness;
using Reliability.V1;

namespace Reliability.Benchmarks.Predictions;

/// <summary>Time to predict a module, asked over gRPC: alone, and as one of a fleet that shares its fits.</summary>
internal sealed class PredictionSubject : ISubject
{
    private const int Modules = 1_000, Single = 21;

    public string Name => "predictions";

    public string Description => "time to predict a module, alone and in a fleet";

    public async Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        PredictionCost.Report(report, cancellationToken);
        await using var service = await RunningService.StartAsync(cancellationToken);
        var (revision, _) = await service.PostAsync(SimulatedFleet.Events(Modules, seed: 5), callers: 1, cancellationToken);
        var asOf = Timestamp.FromDateTimeOffset(SimulatedFleet.End);
        var fleet = new PredictFailuresRequest { AsOfTime = asOf, MinimumRevision = revision };
        await FleetAsync(service, fleet, cancellationToken);
        var (predicted, seconds) = await FleetAsync(service, fleet, cancellationToken);
        report(new Figure($"a module of a fleet of {predicted.Count:N0} in service, {Modules:N0} lives", seconds * 1_000 / predicted.Count, "ms"));

        var times = new double[Single];
        for (var run = 0; run < Single; run++)
        {
            var start = Stopwatch.GetTimestamp();
            await service.Clients.Forecast.PredictFailureAsync(
                new PredictFailureRequest { Name = predicted[run].Name, AsOfTime = asOf }, cancellationToken: cancellationToken);
            times[run] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        }

        Array.Sort(times);
        report(new Figure($"a module alone, {Modules:N0} lives read and fitted for it", times[Single / 2], "ms"));
    }

    private static async Task<(List<Prediction> Predicted, double Seconds)> FleetAsync(
        RunningService service, PredictFailuresRequest request, CancellationToken cancellationToken)
    {
        List<Prediction> predicted = [];
        var start = Stopwatch.GetTimestamp();
        using var call = service.Clients.Forecast.PredictFailures(request, cancellationToken: cancellationToken);
        await foreach (var answer in call.ResponseStream.ReadAllAsync(cancellationToken))
        {
            if (answer.Prediction is { } prediction)
                predicted.Add(prediction);
        }

        return (predicted, Stopwatch.GetElapsedTime(start).TotalSeconds);
    }
}
