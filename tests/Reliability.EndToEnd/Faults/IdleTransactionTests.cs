using System.Diagnostics;
using System.Globalization;
using Npgsql;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>
/// Somebody else's session changes rows of the store, does not commit and goes to lunch. Readiness says who, the session is ended by
/// the set time, and the lives that waited behind it go on.
/// </summary>
public sealed class IdleTransactionTests(ITestOutputHelper output)
{
    private const int LimitSeconds = 12;

    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(100), Longest = TimeSpan.FromSeconds(LimitSeconds + 300);

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task It_is_told_and_ended_and_lives_go_on()
    {
        await using var own = new OwnService();
        using var clients = new ServiceClients(await own.StartAsync($"--Store:IdleTransactionLimit=00:00:{LimitSeconds}"));
        await Loading.AddModelsAsync(clients);
        var fleet = FleetReadings.Read().ToList();
        var module = fleet[0].Module;
        var record = fleet.Where(posted => posted.Module == module).Take(4).ToArray();
        await Loading.LivesAsync(clients, await Loading.PostAsync(clients, record[..3]));

        var connection = new NpgsqlConnectionStringBuilder(await PrivateClusterAccess.ConnectionStringAsync(own.DataDirectory))
        {
            ApplicationName = "long lunch",
            Pooling = false,
        };
        await using var other = new NpgsqlConnection(connection.ConnectionString);
        await other.OpenAsync(Cancellation);
        await using var transaction = await other.BeginTransactionAsync(Cancellation);
        await using (var change = new NpgsqlCommand("update reliability.module_state set site = site", other))
            Assert.True(await change.ExecuteNonQueryAsync(Cancellation) > 0);
        var idle = Stopwatch.StartNew();

        var receipt = Assert.Single(await Loading.PostAsync(clients, record[3..]));
        var answer = clients.History.GetModuleAsync(
            new GetModuleRequest { Name = module, MinimumRevision = receipt.Revision }, cancellationToken: Cancellation).ResponseAsync;
        var told = await ReadinessAsync(clients, said => said.Contains("long lunch", StringComparison.Ordinal));
        output.WriteLine($"After {idle.Elapsed.TotalSeconds:0.0} s: {told}");
        Assert.Contains(other.ProcessID.ToString(CultureInfo.InvariantCulture), told, StringComparison.Ordinal);
        Assert.False(answer.IsCompleted, "The lives did not wait behind the transaction: the test shows nothing.");

        var fresh = await answer;
        output.WriteLine($"After {idle.Elapsed.TotalSeconds:0.0} s the lives had taken in what waited.");
        Assert.True(idle.Elapsed > TimeSpan.FromSeconds(LimitSeconds), $"Ended after {idle.Elapsed} already.");
        Assert.Equal(module, fresh.Name);
        await ReadinessAsync(clients, said => said.Contains("\"Healthy\"", StringComparison.Ordinal) && !said.Contains("long lunch", StringComparison.Ordinal));
        await Assert.ThrowsAnyAsync<NpgsqlException>(() => transaction.CommitAsync(Cancellation));
    }

    private static async Task<string> ReadinessAsync(ServiceClients clients, Func<string, bool> says)
    {
        var started = Stopwatch.GetTimestamp();
        while (true)
        {
            using var answer = await clients.Http.GetAsync(new Uri("/healthz/ready", UriKind.Relative), Cancellation);
            var said = await answer.Content.ReadAsStringAsync(Cancellation);
            if (says(said))
                return said;
            Assert.True(Stopwatch.GetElapsedTime(started) < Longest, $"Readiness says {said}");
            await Task.Delay(Pause, Cancellation);
        }
    }
}
