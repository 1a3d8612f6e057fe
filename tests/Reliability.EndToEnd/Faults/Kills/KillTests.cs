using Reliability.EndToEnd.Faults.Clients;
using Reliability.EndToEnd.Faults.Victims;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>
/// kill -9 at 50 random moments while clients stream, on real processes. Every receipt that was given holds afterwards, every
/// event is on record once and whole, and the lives are those of a clean load.
/// </summary>
[Collection(typeof(AgainstCleanLoad))]
public sealed class KillTests(CleanLoad clean, ITestOutputHelper output)
{
    private const int Kills = 25, Clients = 3;

    [Fact]
    public async Task A_service_on_its_private_PostgreSQL()
    {
        var random = new Random(43);
        await using var own = new OwnFolder();
        await using var service = new ServiceSlot("--DataDirectory=" + own.DataDirectory);
        var postgres = new PostgresProcesses(own.DataDirectory);
        await service.StartAsync();
        await RunAsync([service], () => PrivateClusterAccess.ConnectionStringAsync(own.DataDirectory), postgres, random);
    }

    [Fact]
    public async Task Two_services_on_a_PostgreSQL_of_its_own()
    {
        var random = new Random(44);
        await using var server = await OwnPostgres.StartAsync();
        var setting = "--ConnectionStrings:Reliability=" + server.ConnectionString;
        await using var one = new ServiceSlot(setting);
        await using var other = new ServiceSlot(setting);
        await Task.WhenAll(one.StartAsync(), other.StartAsync());
        await RunAsync([one, other], () => Task.FromResult(server.ConnectionString), new PostgresProcesses(server.DataDirectory), random);
    }

    private async Task RunAsync(
        ServiceSlot[] services, Func<Task<string>> database, PostgresProcesses postgres, Random random)
    {
        using (var first = services[0].Clients())
            await Loading.AddModelsAsync(first);
        var lines = 0;
        var crew = new Crew(Open, Clients, new Load(clean.Events, Clients, random));
        var storm = new KillStorm(crew, random, output);
        var restarts = new Task[services.Length];
        Array.Fill(restarts, Task.CompletedTask);
        // Only a kill with events in flight counts; were they rare, the load would be too thin to say anything.
        while (storm.KillsInFlight < Kills && storm.Kills < 2 * Kills)
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
        Assert.Equal(Kills, storm.KillsInFlight);
        await Aftermath.CheckAsync(services, await database(), clean, crew.Receipts, output);

        IPostLine Open(int client)
        {
            // After a break it goes to the next service. The last client calls, the others stream: both share the service's commits.
            var to = services[Interlocked.Increment(ref lines) % services.Length].Clients();
            return client == Clients - 1 ? new CallLine(to) : new StreamLine(to);
        }
    }
}
