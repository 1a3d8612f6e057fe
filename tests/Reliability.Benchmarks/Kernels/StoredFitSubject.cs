using System.Diagnostics;
using Google.Protobuf.WellKnownTypes;
using Grpc.Core;
using Reliability.Benchmarks.Harness;
using Reliability.V1;

namespace Reliability.Benchmarks.Kernels;

/// <summary>
/// FitLives asked of 100,000 lives on record: a call from a client to a service that is a process of its own on a PostgreSQL of its own,
/// with every default, bounds and percentiles included; right after one more life came, and again when none had.
/// </summary>
internal sealed class StoredFitSubject : ISubject
{
    private const int Lives = 100_000, BatchLength = 1_000, Callers = 4, Changes = 25, Repeats = 41;

    private static readonly DateTime First = new(2024, 1, 1, 6, 0, 0, DateTimeKind.Utc);

    public string Name => "stored-fits";

    public string Description => "FitLives of lives on record, changed and unchanged";

    public async Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        await using var service = await RunningService.StartAsync(cancellationToken);
        var random = new Random(20261134);
        var start = Stopwatch.GetTimestamp();
        var (revision, _) = await service.PostAsync(
            [.. Enumerable.Range(0, Lives).Select(life => Reported(life, random))], Callers, cancellationToken, BatchLength);
        await FitAsync(service, revision, cancellationToken);
        report(new Figure($"{Lives:N0} lives posted and taken in", Stopwatch.GetElapsedTime(start).TotalSeconds, "s"));

        var (changed, same) = (new List<double>(), new List<double>());
        for (var change = 0; change < Changes; change++)
        {
            (revision, _) = await service.PostAsync([Reported(Lives + change, random)], 1, cancellationToken);

            // Waits until the life is taken in; the question itself is another one.
            await service.Clients.History.GetModuleAsync(
                new GetModuleRequest { Name = Module(Lives + change), MinimumRevision = revision }, cancellationToken: cancellationToken);
            changed.Add(await TimedAsync(service, Lives + change + 1, cancellationToken));
        }

        for (var repeat = 0; repeat < Repeats; repeat++)
            same.Add(await TimedAsync(service, Lives + Changes, cancellationToken));
        report(new Figure($"FitLives of {Lives:N0} stored lives, one of them new: median of {Changes}", Median(changed), "ms", Target.Most(400)));
        report(new Figure($"FitLives of {Lives:N0} stored lives, unchanged: median of {Repeats}", Median(same), "ms", Target.Most(10)));
    }

    private static async Task<double> TimedAsync(RunningService service, int lives, CancellationToken cancellationToken)
    {
        var start = Stopwatch.GetTimestamp();
        var answer = await FitAsync(service, string.Empty, cancellationToken);
        var taken = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        return answer.SampleSummary.LifeCount == lives
            ? taken
            : throw new InvalidOperationException($"The fit is of {answer.SampleSummary.LifeCount} lives; there are {lives}.");
    }

    private static async Task<FitLivesResponse> FitAsync(RunningService service, string revision, CancellationToken cancellationToken)
    {
        var request = new FitLivesRequest
        {
            Cohort = new Cohort { ModuleModels = { SimulatedFleet.ModuleModel } },
            MinimumRevision = revision,
        };
        while (true)
        {
            try
            {
                return await service.Clients.Analysis.FitLivesAsync(request, cancellationToken: cancellationToken);
            }
            catch (RpcException exception) when (exception.StatusCode == StatusCode.Unavailable)
            {
                // Not taken in within half a minute; it goes on.
            }
        }
    }

    private static string Module(int life) => $"modules/stored-{life}";

    /// <summary>Weibull lives of shape 2 and scale 1,000 h, 10 h a day, about 60 % of them in service still.</summary>
    private static ModuleEvent Reported(int life, Random random)
    {
        var failure = 1_000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
        var stop = 1_500 * (1e-3 + random.NextDouble());
        var started = First.AddMinutes(life % 100_000);
        var hours = Math.Round(Math.Min(failure, stop), 2);
        var ended = started.AddDays(1 + (hours / 10));
        return new ModuleEvent
        {
            EventId = $"stored-{life}",
            Source = "benchmark",
            Module = Module(life),
            OccurTime = Timestamp.FromDateTime(ended),
            LifeReported = new LifeReported
            {
                ModuleModel = SimulatedFleet.ModuleModel,
                StartTime = Timestamp.FromDateTime(started),
                EndTime = Timestamp.FromDateTime(ended),
                AgeAtObservation = 0,
                AgeAtEnd = hours,
                Outcome = failure <= stop ? LifeOutcome.Failed : LifeOutcome.Survived,
                FailureMoment = failure <= stop,
                FailureMode = failure <= stop ? "no light" : string.Empty,
                RemovalReason = failure <= stop ? RemovalReason.Failed : RemovalReason.Unspecified,
                InService = failure > stop,
                CompleteFrom = Timestamp.FromDateTime(First),
            },
        };
    }

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);
}
