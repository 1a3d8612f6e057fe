using Reliability.EndToEnd.Faults.Victims;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Faults.Kills;

/// <summary>kill -9 under streaming load of a service and of the PostgreSQL that it keeps itself.</summary>
public abstract class OneServiceKillTests(CleanLoad clean, ITestOutputHelper output)
{
    /// <summary>Kills with events in flight.</summary>
    protected abstract int Kills { get; }

    protected abstract int Seed { get; }

    [Fact]
    public async Task A_service_on_its_private_PostgreSQL()
    {
        var random = new Random(Seed);
        await using var own = new OwnFolder();
        await using var service = new ServiceSlot("--DataDirectory=" + own.DataDirectory);
        var postgres = new PostgresProcesses(own.DataDirectory);
        await service.StartAsync();
        await new KillRun(clean, output).RunAsync([service], () => PrivateClusterAccess.ConnectionStringAsync(own.DataDirectory), postgres, random, Kills);
    }
}
