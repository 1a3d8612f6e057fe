using System.Globalization;
using Npgsql;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Hostile;

/// <summary>
/// Random and mutated bytes against a real service: no crash, no answer that is no status, nothing of the inside, no error
/// logged, memory bounded, and nothing on record but what has a receipt. RELIABILITY_HOSTILE_ROUNDS makes it longer,
/// RELIABILITY_HOSTILE_SEED another.
/// </summary>
public sealed class HostileBytesTests(ITestOutputHelper output)
{
    private const int Quick = 1_500;
    private const long MebiByte = 1024 * 1024;

    // What the service may ever hold more than it ever did in the first third of the rounds, however many follow.
    private const long MostGrowth = 192 * MebiByte;

    [Fact]
    public async Task Whatever_is_sent_the_service_stays_and_says_so_in_its_own_words()
    {
        var rounds = Setting("RELIABILITY_HOSTILE_ROUNDS", Quick);
        await using var own = new OwnService();
        var service = await own.StartAsync();
        using var offence = new Offence(service, Setting("RELIABILITY_HOSTILE_SEED", 1));
        long before, after;
        try
        {
            await SendAsync(offence, rounds / 3);
            before = service.PeakWorkingSet;
            await SendAsync(offence, rounds - (rounds / 3));
            after = service.PeakWorkingSet;
        }
        finally
        {
            output.WriteLine($"Answers: {offence.Answers}");
            output.WriteLine(string.Join('\n', service.Log.SkipWhile(line => !service.Errors.Contains(line)).Take(40)));
        }

        output.WriteLine($"{rounds} rounds; working set at its peak {before / MebiByte} MiB, then {after / MebiByte} MiB; {offence.Recorded} receipts; {offence.RightRows} right rows among hostile ones.");
        Assert.Empty(service.Errors);
        using var client = new HttpClient { BaseAddress = service.HttpAddress };
        using var ready = await client.GetAsync(new Uri("/healthz/ready", UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.True(ready.IsSuccessStatusCode);
        Assert.InRange(after, before, before + MostGrowth);
        Assert.NotEqual(0, offence.Recorded);
        Assert.NotEqual(0, offence.RightRows);
        Assert.InRange(await PostedAsync(own.DataDirectory), offence.Recorded, offence.Recorded + offence.WithoutReceipt);
    }

    private static async Task SendAsync(Offence offence, int rounds)
    {
        for (var round = 0; round < rounds; round++)
        {
            await (round % 10 < 5 ? offence.GrpcAsync() : offence.JsonAsync());
            if (round % 25 == 0)
                await offence.SocketAsync();
            if (round % 10 == 0)
                await offence.UploadAsync();
        }
    }

    private static async Task<long> PostedAsync(string dataDirectory)
    {
        await using var source = NpgsqlDataSource.Create(await PrivateClusterAccess.ConnectionStringAsync(dataDirectory));
        await using var command = source.CreateCommand("select count(*) from reliability.posted_event");
        return Convert.ToInt64(await command.ExecuteScalarAsync(TestContext.Current.CancellationToken), CultureInfo.InvariantCulture);
    }

    private static int Setting(string name, int otherwise) =>
        int.TryParse(Environment.GetEnvironmentVariable(name), out var value) ? value : otherwise;
}
