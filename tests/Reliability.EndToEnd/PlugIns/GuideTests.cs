using System.Globalization;
using Reliability.EndToEnd.CommandLine;
using Reliability.EndToEnd.Readme;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.PlugIns;

/// <summary>Goes by docs/plug-ins.md alone: builds the example from the packages of this clone, has it pass the battery, drops it in, and uses it.</summary>
public sealed class GuideTests
{
    private static readonly IReadOnlyList<ReadmeBlock> Blocks = ReadmeBlock.Of(File.ReadLines(Repository.Path("docs/plug-ins.md")));

    private static readonly string Example = Repository.Path("docs/examples/birnbaum-saunders");

    [Fact]
    public async Task By_the_guide_the_example_is_built_checked_dropped_in_listed_fitted_drawn_and_assessed()
    {
        var cancellation = TestContext.Current.CancellationToken;
        await RunAsync("build.sh", null);
        var hash = (await RunAsync("plug-ins hash", null)).Trim();
        await using var own = new OwnService();
        var service = await own.StartAsync(
            "--Engine:PluginDirectory=" + Path.Combine(Example, "out/plugins"), "--Engine:AllowedPlugIns:fatigue=" + hash);
        var data = Repository.Path("demo-data");
        foreach (var arguments in (string[][])[["models", "create", data + "/module-models.json"], ["post", data + "/lives-pellowick.csv"]])
        {
            var (exitCode, _, error) = await CommandLineProcess.RunAsync(service.GrpcAddress, arguments);
            Assert.True(exitCode == 0, error);
        }

        await RunAsync("life-models", service);
        await RunAsync("--plot", service);
        Assert.True(new FileInfo(Path.Combine(Example, "out/blowers.png")).Length > 10_000);
        await RunAsync("reliability assess", service);
        Assert.Equal(5, Blocks.Count(block => block.Kind == "sh"));

        // The coupons of the source, over the wire: estimates as published, on axes of the family's own, where alpha 1/2 is straight.
        using var clients = new ServiceClients(service);
        var lives = new InlineSample();
        foreach (var hours in (await File.ReadAllTextAsync(Path.Combine(Example, "coupons.txt"), cancellation)).Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries))
            lives.Observations.Add(new LifeObservation { FailureHours = double.Parse(hours, CultureInfo.InvariantCulture) });
        var fit = (await clients.Analysis.FitLivesAsync(
            new() { Sample = lives, LifeModel = "birnbaum-saunders", IncludePlot = true }, cancellationToken: cancellation)).Fit;
        Assert.Equal(0.1704, fit.Parameters["alpha"].Value, 1e-4);
        Assert.Equal(131.82, fit.Parameters["beta"].Value, 1e-2);
        Assert.Equal(("log", "birnbaum-saunders"), (fit.Plot.Axes.HoursScale, fit.Plot.Axes.FractionScale));
        var tick = fit.Plot.Axes.FractionTicks.Single(t => t.Fraction == 0.9);
        Assert.Equal(4 * Math.Asinh(1.2815515655446004 / 4), tick.Position, 1e-9);
        double[] rising = [.. fit.Plot.Line.Where(point => point.FractionPosition.HasValue).Select(point => point.FractionPosition.Value)];
        Assert.True(rising.Length > 30 && rising.Order().SequenceEqual(rising));
    }

    /// <summary>Runs the block with these words in it, and holds what the guide shows below against what came.</summary>
    private static async Task<string> RunAsync(string words, ServiceProcess? service)
    {
        var index = Enumerable.Range(0, Blocks.Count).Single(i => Blocks[i].Kind == "sh" && Blocks[i].Text.Contains(words, StringComparison.Ordinal));
        var output = await Blocks[index].RunAsync(service);
        Blocks[index + 1].AssertShownIn(output);
        return output;
    }
}
