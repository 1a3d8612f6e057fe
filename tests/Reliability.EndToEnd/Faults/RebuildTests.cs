using System.Net;
using System.Net.Http.Json;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>All lives are derived anew while readers and a writer go on; nothing of them changes.</summary>
public sealed class RebuildTests(ITestOutputHelper output)
{
    private const int BatchSize = 500;

    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Rows_are_the_same_to_the_byte_and_reads_and_writes_go_on()
    {
        await using var own = new OwnService();
        using var clients = new ServiceClients(await own.StartAsync());
        await Loading.AddModelsAsync(clients);
        var events = DemoRecord.Read();
        var lives = await Loading.LivesAsync(clients, await Loading.PostAllAsync(clients, events, BatchSize));
        var before = await LivesTable.DigestAsync(await PrivateClusterAccess.ConnectionStringAsync(own.DataDirectory));
        Assert.Equal(lives.Count, before.Lives);

        var rebuild = clients.Http.PostAsync(new Uri("/maintenance/rebuild", UriKind.Relative), null, Cancellation);
        var (reads, writes) = (0, 0);
        while (!rebuild.IsCompleted)
        {
            await clients.History.ListLivesAsync(new ListLivesRequest { PageSize = 50 }, cancellationToken: Cancellation);
            reads++;
            // A repost passes through the whole of posting and changes no record.
            Assert.All(await Loading.PostAsync(clients, [.. events.Skip(writes * 10).Take(10)]), receipt => Assert.True(receipt.Duplicate));
            writes++;
        }

        using var done = await rebuild;
        Assert.Equal(HttpStatusCode.OK, done.StatusCode);
        var told = await done.Content.ReadFromJsonAsync<Done>(Cancellation);
        Assert.NotNull(told);
        Assert.Equal(before.Modules, told.Modules);
        output.WriteLine($"{told.Modules} modules in {told.Seconds:0.0} s; {reads} reads and {writes} posts meanwhile.");
        Assert.True(reads > 0 && writes > 0);
        Assert.Equal(before, await LivesTable.DigestAsync(await PrivateClusterAccess.ConnectionStringAsync(own.DataDirectory)));
    }

    [Fact]
    public async Task A_page_of_a_browser_cannot_start_it()
    {
        await using var own = new OwnService();
        using var clients = new ServiceClients(await own.StartAsync());
        using var request = new HttpRequestMessage(HttpMethod.Post, "/maintenance/rebuild");
        request.Headers.Add("Origin", "http://elsewhere.example");

        using var answer = await clients.Http.SendAsync(request, Cancellation);

        Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
    }

    private sealed record Done(long Modules, double Seconds);
}
