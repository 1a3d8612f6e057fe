using Reliability.EndToEnd.Faults.Victims;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>kill -9 under streaming load of a service and of the PostgreSQL that it keeps itself.</summary>
public sealed class OneServiceKillTests(CleanLoad clean, ITestOutputHelper output)
{
    [Fact]
    public async Task A_service_on_its_private_PostgreSQL()
    {
        var random = new Random(43);
        await using var own = new OwnFolder();
        await using var service = new ServiceSlot("--DataDirectory=" + own.DataDirectory);
        var postgres = new PostgresProcesses(own.DataDirectory);
        await service.StartAsync();
        await new KillRun(clean, output).RunAsync([service], () => PrivateClusterAccess.ConnectionStringAsync(own.DataDirectory), postgres, random);
    }
}
