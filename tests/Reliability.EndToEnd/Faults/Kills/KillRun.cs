using Reliability.EndToEnd.Faults.Clients;
using Reliability.EndToEnd.Faults.Victims;
using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>
/// kill -9 at random moments while clients stream, on real processes; 50 with events in flight over all runs. Every receipt that
/// was given holds afterwards, every event is on record once and whole, and the lives are those of a clean load.
/// </summary>
internal sealed class KillRun(CleanLoad clean, ITestOutputHelper output)
{
    private const int Clients = 3;

    /// <summary>Kills until so many kills had events in flight, and looks at what is on record then.</summary>
    public async Task RunAsync(
        ServiceSlot[] services, Func<Task<string>> database, PostgresProcesses postgres, Random random, int kills)
    {
        using (var first = services[0].Clients())
            await Loading.AddModelsAsync(first);
        var lines = 0;
        var crew = new Crew(Open, Clients, new Load(clean.Events, Clients, random));
        var storm = new KillStorm(crew, random, output);
        var restarts = new Task[services.Length];
        Array.Fill(restarts, Task.CompletedTask);
        // Only a kill with events in flight counts; were they rare, the load would be too thin to say anything.
        while (storm.KillsInFlight < kills && storm.Kills < 2 * kills)
        {
            var turn = storm.Kills % 4;
            var which = random.Next(services.Length);
            await (turn switch
            {
                1 => storm.KillAsync("the server", () => Task.FromResult(postgres.KillServer())),
                3 => storm.KillAsync("a backend", () => Task.FromResult(postgres.KillBackend(random))),
                _ => storm.KillAsync($"service {which + 1}", async () =>
                {
                    await restarts[which];
                    await services[which].KillAsync();
                    restarts[which] = services[which].StartAsync();
                    return true;
                }),
            });
        }

        await Task.WhenAll(restarts);
        await crew.FinishAsync();
        output.WriteLine(
            $"{storm.Kills} kills, {storm.KillsInFlight} with events in flight ({storm.EventsInFlight} events in all), "
            + $"{storm.KillsInRecovery} during recovery; slowest recovery {storm.SlowestRecovery.TotalSeconds:0.0} s. "
            + crew);
        Assert.Equal(kills, storm.KillsInFlight);
        await Aftermath.CheckAsync(services, await database(), clean, crew.Receipts, output);

        IPostLine Open(int client)
        {
            // After a break it goes to the next service. The last client calls, the others stream: both share the service's commits.
            var to = services[Interlocked.Increment(ref lines) % services.Length].Clients();
            return client == Clients - 1 ? new CallLine(to) : new StreamLine(to);
        }
    }
}
