using Reliability.EndToEnd.Faults.Victims;
using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>kill -9 under streaming load of two services and of the PostgreSQL that they share.</summary>
public sealed class TwoServicesKillTests(CleanLoad clean, ITestOutputHelper output)
{
    private const int Kills = 25;

    [Fact]
    public async Task Two_services_on_a_PostgreSQL_of_its_own()
    {
        var random = new Random(44);
        await using var server = await OwnPostgres.StartAsync();
        var setting = "--ConnectionStrings:Reliability=" + server.ConnectionString;
        await using var one = new ServiceSlot(setting);
        await using var other = new ServiceSlot(setting);
        await Task.WhenAll(one.StartAsync(), other.StartAsync());
        await new KillRun(clean, output).RunAsync([one, other], () => Task.FromResult(server.ConnectionString), new PostgresProcesses(server.DataDirectory), random, Kills);
    }
}
