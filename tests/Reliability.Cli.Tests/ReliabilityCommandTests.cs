using System.Net;
using System.Net.Sockets;
using Reliability.Cli.Tests.Files;
using Reliability.Cli.Tests.Terminals;
using Xunit;

namespace Reliability.Cli.Tests;

public sealed class ReliabilityCommandTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("", "Required command was not provided.")]
    [InlineData("forecast", "forecast")]
    [InlineData("predict", "ID")]
    [InlineData("fit --bounds guess", "guess")]
    [InlineData("fit --at-hours many", "many")]
    [InlineData("fit --fix shape", "--fix: \"shape\" is not of the form name=number, such as shape=2.")]
    [InlineData("fit --since June", "--since: \"June\" is neither a day")]
    [InlineData("fit --zone Quennick", "--zone: \"Quennick\" is not an IANA time zone")]
    [InlineData("fit --plot fit.pdf", "fit.pdf")]
    [InlineData("fit --sample none.csv --site Velsham", "--site would select lives on record")]
    [InlineData("compare --first colour=red", "--first: \"colour\" is none of: model, condition,")]
    [InlineData("compare --second condition=old", "--second: condition is new or refurbished.")]
    [InlineData("compare --second condition=new", "Both cohorts are \"new\".")]
    [InlineData("modules --limit 0", "--limit: give a number of 1 or more.")]
    [InlineData("models list --address here", "--address: \"here\" is not an address such as http://127.0.0.1:7080.")]
    [InlineData("attributes colour", "colour")]
    public async Task A_command_line_that_cannot_be_used_ends_2_and_says_why(string line, string expected)
    {
        MemoryTerminal terminal = new();
        Assert.Equal(2, await ReliabilityCommand.RunAsync(line.Split(' ', StringSplitOptions.RemoveEmptyEntries), terminal.Terminal));
        Assert.Contains(expected, terminal.Error, StringComparison.Ordinal);
        Assert.Equal("", terminal.Out);
    }

    [Fact]
    public async Task Nothing_is_posted_when_one_of_several_files_has_a_wrong_header()
    {
        string good = _folder.Write("good.csv", "module,event,occur_time,reading_hours\n");
        string bad = _folder.Write("bad.csv", "some,other,columns\n1,2,3\n");
        MemoryTerminal terminal = new();
        Assert.Equal(2, await ReliabilityCommand.RunAsync(["post", good, bad, "--source", "test", "--address", NoService()], terminal.Terminal));
        Assert.StartsWith($"{bad}: line 1: the header does not fit", terminal.Error, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("models list")]
    [InlineData("life-models")]
    [InlineData("predict-fleet")]
    public async Task A_service_that_does_not_answer_ends_2(string line)
    {
        MemoryTerminal terminal = new();
        string address = NoService();
        Assert.Equal(2, await ReliabilityCommand.RunAsync([.. line.Split(' '), "--address", address], terminal.Terminal));
        Assert.StartsWith($"The service at {address} cannot be reached.", terminal.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_post_that_is_broken_off_says_how_to_go_on()
    {
        string file = _folder.Write("events.csv", "module,event,occur_time,reading_hours\nlamp-1,run_hours_read,2024-03-05,7\n");
        MemoryTerminal terminal = new();
        Assert.Equal(2, await ReliabilityCommand.RunAsync(["post", file, "--source", "test", "--address", NoService()], terminal.Terminal));
        Assert.Contains("Post the file again to go on: nothing is recorded twice.", terminal.Error, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Help_is_an_answer()
    {
        MemoryTerminal terminal = new();
        Assert.Equal(0, await ReliabilityCommand.RunAsync(["fit", "--help"], terminal.Terminal));
        Assert.Contains("--failure-mode", terminal.Out, StringComparison.Ordinal);
    }

    // A port that was free a moment ago, on which nothing listens.
    private static string NoService()
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        return $"http://127.0.0.1:{((IPEndPoint)listener.LocalEndpoint).Port}";
    }
}
