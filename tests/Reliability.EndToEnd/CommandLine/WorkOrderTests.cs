using System.Globalization;
using System.Text.Json;
using Reliability.EndToEnd.Faults;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.CommandLine;

/// <summary>An export of work orders, posted through its mapping, gives the lives that the event file gives.</summary>
public sealed class WorkOrderTests
{
    private static readonly string Export = Repository.Path("demo-data/mapping/workorders-orrowby.csv");

    private static readonly string Mapping = Repository.Path("demo-data/mapping/workorders-orrowby.json");

    [Fact]
    public async Task The_export_gives_the_lives_of_the_event_file_however_often_it_is_posted()
    {
        var folder = TemporaryFolder.Create();
        var export = Path.Combine(folder, "workorders.csv");
        File.Copy(Export, export);
        await using var own = new OwnService();
        var service = await own.StartAsync();
        using var clients = new ServiceClients(service);
        await Loading.AddModelsAsync(clients);

        // What a dry run foretells comes true, and it records nothing.
        var (checkedCode, foretold) = await PostAsync(service, export, "--dry-run");
        Assert.Equal(0, checkedCode);
        Assert.Equal(0, Count(foretold.GetProperty("unresolved")));
        var (code, posted) = await PostAsync(service, export);
        Assert.Equal(0, code);
        foreach (var count in (string[])["rows", "recorded", "alreadyThere", "refused"])
            Assert.Equal(foretold.GetProperty(count).GetInt64(), posted.GetProperty(count).GetInt64());
        Assert.True(posted.GetProperty("recorded").GetInt32() > 600);
        Assert.Equal(1, Count(posted.GetProperty("ignored")));
        var lives = await Loading.LivesAsync(clients, [new Receipt { Revision = posted.GetProperty("revision").GetString() }]);

        var (againCode, again) = await PostAsync(service, export);
        Assert.Equal(
            (0, 0L, posted.GetProperty("recorded").GetInt64()),
            (againCode, again.GetProperty("recorded").GetInt64(), again.GetProperty("alreadyThere").GetInt64()));

        await using var other = new OwnService();
        using var otherClients = new ServiceClients(await other.StartAsync());
        await Loading.AddModelsAsync(otherClients);
        var lamps = DemoEvents.Read().Where(said => said.Module.StartsWith("modules/orrowby-lamp-", StringComparison.Ordinal));
        var expected = await Loading.LivesAsync(otherClients, await Loading.PostAllAsync(otherClients, lamps, 500));
        Assert.True(expected.Count > 60);
        Assert.Equal(expected, lives);
        Directory.Delete(folder, recursive: true);
    }

    private static int Count(JsonElement counts) => counts.EnumerateObject().Count();

    private static async Task<(int ExitCode, JsonElement Tally)> PostAsync(ServiceProcess service, string export, params string[] further)
    {
        var post = await CommandLineProcess.RunAsync(service.GrpcAddress, ["post", export, "--mapping", Mapping, "--json", .. further]);
        Assert.True(post.Error.Length == 0, string.Create(CultureInfo.InvariantCulture, $"{post.ExitCode}: {post.Error}"));
        return (post.ExitCode, JsonDocument.Parse(post.Out).RootElement.GetProperty("files")[0]);
    }
}
