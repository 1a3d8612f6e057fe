using System.Globalization;
using Reliability.EndToEnd.CommandLine;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Readme;

/// <summary>
/// Runs what the README tells a reader to run, on the demo data, and holds the shown output against the real one. A shown line must
/// occur in the output, in order; spaces and the lines of tables do not count, and lines between may be left out.
/// </summary>
public sealed class ReadmeTests
{
    private static readonly IReadOnlyList<ReadmeBlock> Blocks =
        ReadmeBlock.Of(File.ReadLines(Repository.Path("README.md")));

    [Fact]
    public async Task What_the_readme_runs_says_what_it_shows()
    {
        await using var own = new OwnService();
        var service = await own.StartAsync();
        var data = Repository.Path("demo-data");
        await CliAsync(service, ["models", "create", Path.Combine(data, "module-models.json")]);
        // One after the other, so that each answer below rests on all of them.
        await CliAsync(service, ["post", .. Files(data, "lives-*.csv"), .. Files(data, "events-*.jsonl").Where(file => !file.Contains("refused", StringComparison.Ordinal))]);

        var ran = 0;
        for (var index = 0; index < Blocks.Count; index++)
        {
            var shown = index + 1 < Blocks.Count && Blocks[index + 1].Kind == "text" ? Blocks[index + 1] : null;
            var output = Blocks[index].Kind switch
            {
                "sh" => await Blocks[index].RunAsync(service),
                "csharp" => await CSharpAsync(service),
                _ => null,
            };
            if (output is null)
                continue;
            ran++;
            Assert.True(shown is not null, "No output is shown below:\n" + Blocks[index].Text);
            shown.AssertShownIn(output);
        }

        Assert.True(ran >= 10, $"Only {ran} blocks were run.");
    }

    [Fact]
    public void The_example_in_csharp_is_the_one_that_runs()
    {
        var code = File.ReadAllLines(Repository.Path("tests/Reliability.EndToEnd/Readme/CallFromCSharp.cs"))
            .SkipWhile(line => !line.Contains("readme: begin", StringComparison.Ordinal)).Skip(1)
            .TakeWhile(line => !line.Contains("readme: end", StringComparison.Ordinal))
            .Select(line => line.Length == 0 ? line : line[8..]);
        Assert.Equal(code, Assert.Single(Blocks, block => block.Kind == "csharp").Lines);
    }

    [Fact]
    public void The_two_commands_are_those_that_ci_runs()
    {
        var ci = File.ReadAllText(Repository.Path(".ci/run"));
        var commands = Assert.Single(Blocks, block => block.Kind == "sh by CI").Lines;
        Assert.Equal(2, commands.Count);
        Assert.All(commands, command => Assert.Contains(command, ci, StringComparison.Ordinal));
    }

    private static string[] Files(string folder, string pattern) => [.. Directory.GetFiles(folder, pattern).Order(StringComparer.Ordinal)];

    private static async Task CliAsync(ServiceProcess service, string[] arguments)
    {
        var (exitCode, _, error) = await CommandLineProcess.RunAsync(service.GrpcAddress, arguments);
        Assert.True(exitCode == 0, error);
    }

    private static async Task<string> CSharpAsync(ServiceProcess service)
    {
        await using var output = new StringWriter(CultureInfo.InvariantCulture);
        await CallFromCSharp.RunAsync(service.GrpcAddress, output);
        return output.ToString();
    }
}
