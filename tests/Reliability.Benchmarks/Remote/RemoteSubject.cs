using System.Diagnostics;
using System.Globalization;
using Grpc.Core;
using Reliability.Benchmarks.Harness;
using Reliability.EndToEnd.Running;
using Reliability.V1;

namespace Reliability.Benchmarks.Remote;

/// <summary>
/// What plug-ins in processes of their own cost, and what those that do wrong cost others: the median time of callers that ask a built-in
/// life model, in turns with and without callers that keep asking plug-ins that loop, overflow the stack, exit and take memory without
/// bound. Both in one run, short turns one after the other, so that other work on the machine bears on both alike.
/// </summary>
internal sealed class RemoteSubject : ISubject
{
    private const int Turns = 16, Fits = 5;

    private static readonly TimeSpan Turn = TimeSpan.FromSeconds(3), Between = TimeSpan.FromMilliseconds(5);

    private static readonly string[] Vices = ["loops", "overflows", "exits", "allocates"];

    public string Name => "remote";

    public string Description => "plug-ins in processes of their own, and other callers while some do wrong";

    public async Task RunAsync(Action<Figure> report, CancellationToken cancellationToken)
    {
        var folder = TemporaryFolder.Create();
        await using (var service = await ServiceProcess.StartAsync([.. Settings(["none", .. Vices]), "--DataDirectory=" + folder]))
        {
            using var clients = new ServiceClients(service);
            await OthersAsync(clients, report, cancellationToken);
            await CostAsync(clients, report, cancellationToken);
        }

        Directory.Delete(folder, recursive: true);
    }

    private static async Task CostAsync(ServiceClients clients, Action<Figure> report, CancellationToken cancellationToken)
    {
        foreach (var (model, method) in new[]
        {
            ("weibull", BoundsMethod.LikelihoodRatio), ("gamma", BoundsMethod.LikelihoodRatio),
            ("plug-none", BoundsMethod.NormalApproximation), ("plug-none", BoundsMethod.LikelihoodRatio),
        })
        {
            var times = new List<double>();
            for (var i = 0; i <= Fits; i++)
            {
                var start = Stopwatch.GetTimestamp();
                await clients.Analysis.FitLivesAsync(Fit(model, method), cancellationToken: cancellationToken);
                if (i > 0)
                    times.Add(Stopwatch.GetElapsedTime(start).TotalMilliseconds);
            }

            report(new Figure($"FitLives of 11 lives, {model}, {method}: median of {Fits}", Median(times), "ms"));
        }
    }

    private static async Task OthersAsync(ServiceClients clients, Action<Figure> report, CancellationToken cancellationToken)
    {
        var (alone, beside) = (new List<double>(), new List<double>());
        int failed = 0, answered = 0;
        for (var turn = 0; turn < Turns; turn++)
        {
            var isBeside = turn % 2 == 1;
            using var over = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
            var wrong = isBeside
                ? Task.WhenAll(Vices.Select(async vice =>
                {
                    while (!over.IsCancellationRequested)
                    {
                        try
                        {
                            await clients.Analysis.FitLivesAsync(
                                Fit("plug-" + vice, BoundsMethod.NormalApproximation), cancellationToken: over.Token);
                            Interlocked.Increment(ref answered);
                        }
                        catch (RpcException failure) when (failure.StatusCode == StatusCode.Internal)
                        {
                            // Told why. Its plug-in waits before it is started again; it asks on.
                            Interlocked.Increment(ref failed);
                            await Task.Delay(100, CancellationToken.None);
                        }
                        catch (RpcException) when (over.IsCancellationRequested)
                        {
                            return;
                        }
                    }
                }))
                : Task.CompletedTask;
            for (var start = Stopwatch.GetTimestamp(); Stopwatch.GetElapsedTime(start) < Turn;)
            {
                var asked = Stopwatch.GetTimestamp();
                await clients.Analysis.FitLivesAsync(Fit("weibull", BoundsMethod.LikelihoodRatio), cancellationToken: cancellationToken);
                (isBeside ? beside : alone).Add(Stopwatch.GetElapsedTime(asked).TotalMilliseconds);
                await Task.Delay(Between, cancellationToken);
            }

            await over.CancelAsync();
            await wrong;
        }

        report(new Figure($"other callers' median, {alone.Count} calls while no plug-in is asked", Median(alone), "ms"));
        report(new Figure($"other callers' median, {beside.Count} calls while four plug-ins do wrong", Median(beside), "ms"));
        report(new Figure("the second over the first", Median(beside) / Median(alone), "", Target.Most(1.5)));
        report(new Figure("callers of those plug-ins told why", failed, "", Target.Least(1)));
        report(new Figure("callers of those plug-ins answered", answered, "", Target.Most(0)));
    }

    private static FitLivesRequest Fit(string model, BoundsMethod method)
    {
        double[] failures = [900, 1800, 2600, 3200, 3500, 3900, 4100, 4400];
        var request = new FitLivesRequest { LifeModel = model, Sample = new InlineSample(), BoundsMethod = method };
        request.Sample.Observations.Add(failures.Select(hours => new LifeObservation { FailureHours = hours }));
        request.Sample.Observations.Add(new LifeObservation { SurvivalHours = 4500, Count = 3 });
        return request;
    }

    private static IEnumerable<string> Settings(IReadOnlyList<string> vices) => vices.SelectMany((vice, i) =>
    {
        var entry = string.Create(CultureInfo.InvariantCulture, $"--Engine:RemotePlugIns:{i}:");
        return new[]
        {
            $"{entry}Id=plug-{vice}", $"{entry}Command=dotnet", $"{entry}Arguments:0={Program}", $"{entry}Arguments:1=plug-{vice}",
            $"{entry}Arguments:2={vice}", $"{entry}MemoryLimit=300MiB", $"{entry}StartDeadline=00:02:00", $"{entry}Deadline=00:00:05",
        };
    });

    private static string Program => Path.Combine(AppContext.BaseDirectory, "Reliability.PlugIns.Hostile.dll");

    private static double Median(List<double> values) => values.Order().ElementAt(values.Count / 2);
}
