using Npgsql;
using Reliability.EndToEnd.Faults.Clients;
using Reliability.EndToEnd.Faults.Victims;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Faults.Cuts;

/// <summary>
/// A bad network: connections that break in the middle of a message, that are slow, that go silent without an end, that are
/// refused. Nobody hangs, every receipt holds, every event is on record once, the lives are those of a clean load.
/// </summary>
public sealed class CutTests(CleanLoad clean, ITestOutputHelper output)
{
    private const int Clients = 3, MostInFlight = 300, FewestBroken = 25;

    // A commit of all that is in flight must have a chance to get through.
    private const int MostClientBytes = 120_000, MostDatabaseBytes = 250_000;

    private static readonly TimeSpan Pace = TimeSpan.FromMilliseconds(5);

    [Fact]
    public async Task Between_clients_and_service()
    {
        var random = new Random(45);
        await using var own = new OwnFolder();
        await using var service = new ServiceSlot("--DataDirectory=" + own.DataDirectory);
        await service.StartAsync();
        await using var proxy = new CuttingProxy(service.GrpcAddress.Port, MostClientBytes, random);
        var through = new Uri($"http://127.0.0.1:{proxy.Port}");
        await RunAsync(
            service, await PrivateClusterAccess.ConnectionStringAsync(own.DataDirectory), proxy,
            () => new ServiceClients(through, service.HttpAddress, TimeSpan.FromSeconds(2)), random);
    }

    [Fact]
    public async Task Between_service_and_PostgreSQL()
    {
        var random = new Random(46);
        await using var server = await OwnPostgres.StartAsync();
        await using var proxy = new CuttingProxy(server.Port, MostDatabaseBytes, random);
        // Timeouts in seconds: what an operator sets where the network loses connections without telling.
        var through = new NpgsqlConnectionStringBuilder(server.ConnectionString) { Port = proxy.Port, Timeout = 3, CommandTimeout = 3 };
        await using var service = new ServiceSlot("--ConnectionStrings:Reliability=" + through.ConnectionString);
        await service.StartAsync();
        await RunAsync(service, server.ConnectionString, proxy, service.Clients, random);
    }

    private async Task RunAsync(
        ServiceSlot service, string database, CuttingProxy proxy, Func<ServiceClients> open, Random random)
    {
        using (var first = service.Clients())
            await Loading.AddModelsAsync(first);
        var crew = new Crew(
            client => client == Clients - 1 ? new CallLine(open()) : new StreamLine(open()), Clients,
            new Load(clean.Events, Clients, random));
        proxy.BeginStorm();
        while (crew.HasMore)
        {
            if (crew.Unanswered < MostInFlight)
                crew.GiveSome();
            await crew.PauseAsync(Pace);
        }

        await crew.FinishAsync();
        var met = string.Join(", ", proxy.Met.OrderBy(fate => fate.Key).Select(fate => $"{fate.Value} {fate.Key}"));
        output.WriteLine($"Connections through the proxy: {met}. " + crew);
        Assert.True(proxy.Broken >= FewestBroken, $"Only {proxy.Broken} connections met their fate.");
        Assert.All(
            [Fate.Cut, Fate.Slow, Fate.HalfOpen, Fate.Refused],
            fate => Assert.True(proxy.Met.ContainsKey(fate), $"No connection met the fate {fate}."));
        proxy.Calm();
        await Aftermath.CheckAsync([service], database, clean, crew.Receipts, output);
    }
}
