using System.Diagnostics;
using System.Net;
using Npgsql;
using Reliability.EndToEnd.Faults.Clients;
using Reliability.EndToEnd.Faults.Victims;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Faults.Disks;

/// <summary>
/// The disk under PostgreSQL fills up under load. The service stays up and says what is wrong, gives no receipt for what is not on
/// disk, and takes posts again once there is space; every receipt holds.
/// </summary>
public sealed class FullDiskTests(CleanLoad clean, ITestOutputHelper output)
{
    private const int Clients = 2, MostInFlightEach = 300, SizeMebibytes = 600;

    // A segment of the write-ahead log has 16 MiB.
    private const int LeftForTables = 1, LeftForLog = 12;

    private static readonly TimeSpan Pace = TimeSpan.FromMilliseconds(5);
    private static readonly TimeSpan LongestFilling = TimeSpan.FromMinutes(5), LongestRecovery = TimeSpan.FromMinutes(5);

    // Either tables cannot grow; or the write-ahead log cannot, at which PostgreSQL itself gives up.
    [Theory]
    [InlineData(false, 47)]
    [InlineData(true, 48)]
    public async Task Posts_are_refused_until_there_is_space(bool logFirst, int seed)
    {
        var random = new Random(seed);
        await using var disk = await SmallDisk.MountAsync(SizeMebibytes);
        await using var service = new ServiceSlot("--DataDirectory=" + disk.Folder);
        await service.StartAsync();
        using var http = new HttpClient { BaseAddress = service.HttpAddress };
        using (var first = service.Clients())
            await Loading.AddModelsAsync(first);
        await disk.LeaveAsync(logFirst ? LeftForLog : LeftForTables);
        if (logFirst)
            await BeginNextSegmentAsync(disk.Folder);

        var crew = new Crew(_ => new StreamLine(service.Clients()), Clients, new Load(clean.Events, Clients, random));
        var started = Stopwatch.GetTimestamp();
        var said = "";
        while (said.Length == 0)
        {
            Assert.True(Stopwatch.GetElapsedTime(started) < LongestFilling, $"The disk did not fill up: {disk.FreeBytes} bytes are free. {crew}");
            // Each by itself: what waits at a client that met the full disk must not keep the other from meeting it.
            if (crew.Members.Any(client => client.Unanswered < MostInFlightEach))
                crew.GiveSome();
            await crew.PauseAsync(Pace);
            if (crew.Members.All(client => !client.Breaks.IsEmpty))
                said = await UnreadyAsync(http);
        }

        var (receiptsWhenFull, free) = (crew.Receipts.Given, disk.FreeBytes);
        await Task.Delay(TimeSpan.FromSeconds(3), TestContext.Current.CancellationToken);
        output.WriteLine(
            $"Full after {receiptsWhenFull} receipts with {free} bytes free, {crew.Unanswered} events without one; "
            + $"readiness: {said}; {crew.Receipts.Given - receiptsWhenFull} receipts in the 3 s after.");
        using (var alive = await http.GetAsync(new Uri("/healthz/live", UriKind.Relative), TestContext.Current.CancellationToken))
            Assert.Equal(HttpStatusCode.OK, alive.StatusCode);

        await disk.ResizeAsync(SizeMebibytes);
        var freed = Stopwatch.GetTimestamp();
        while ((await UnreadyAsync(http)).Length > 0)
        {
            Assert.True(Stopwatch.GetElapsedTime(freed) < LongestRecovery, $"Not ready within {LongestRecovery} after there was space.");
            await Task.Delay(Pace, TestContext.Current.CancellationToken);
        }

        output.WriteLine($"Ready {Stopwatch.GetElapsedTime(freed).TotalSeconds:0.0} s after there was space.");
        await crew.FinishAsync();
        output.WriteLine(crew.ToString());
        Assert.All(
            crew.Members.SelectMany(client => client.Breaks.Keys),
            told => Assert.True(
                told is "Unavailable STORE_FULL" or "Unavailable STORE_UNAVAILABLE",
                told + Environment.NewLine + string.Join(Environment.NewLine, service.Log)));
        await Aftermath.CheckAsync(
            [service], await PrivateClusterAccess.ConnectionStringAsync(disk.Folder), clean, crew.Receipts, output,
            told: "PostgreSQL cannot be started again");
    }

    /// <summary>The next change needs a new segment of the write-ahead log.</summary>
    private static async Task BeginNextSegmentAsync(string dataDirectory)
    {
        await using var source = NpgsqlDataSource.Create(await PrivateClusterAccess.ConnectionStringAsync(dataDirectory));
        await using var command = source.CreateCommand("select pg_switch_wal()");
        await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>What readiness says; nothing when it says ready.</summary>
    private static async Task<string> UnreadyAsync(HttpClient http)
    {
        using var answer = await http.GetAsync(new Uri("/healthz/ready", UriKind.Relative), TestContext.Current.CancellationToken);
        return answer.IsSuccessStatusCode
            ? ""
            : await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
    }
}
