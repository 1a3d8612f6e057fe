using System.Diagnostics;
using System.Globalization;
using Reliability.EndToEnd.CommandLine;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.PlugIns;

/// <summary>The remote examples as docs/plug-ins-remote.md starts them, in a service with the lives of the guide: listed, fitted, drawn on their
/// own axes, assessed beside ours.</summary>
public sealed class RemoteExampleTests : IDisposable
{
    // Of the lives that were posted: questions wait until they are taken in.
    private string _revision = "";

    private readonly string _folder = Directory.CreateTempSubdirectory("reliability-example-").FullName;

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task The_example_in_csharp_is_used_as_ours_are()
    {
        var configuration = new DirectoryInfo(AppContext.BaseDirectory).Parent!.Name;
        await using var own = new OwnService();
        var service = await StartAsync(
            own, "example-rank-regression", "dotnet", Repository.Path($"docs/examples/rank-regression-csharp/bin/{configuration}/net10.0/RankRegression.dll"));
        using var clients = new ServiceClients(service);
        var fit = await UsedAsync(service, clients, "weibull-rank-regression", 2, "Weibull by rank regression fit: ventilator-blower,", "by normal approximation");
        Assert.Equal(("log", "weibull"), (fit.Plot.Axes.HoursScale, fit.Plot.Axes.FractionScale));
        Assert.True(fit.Parameters["shape"].Lower > 0);

        // What it does not take it says itself.
        var survivors = new InlineSample { Observations = { new LifeObservation { SurvivalHours = 900, Count = 3 } } };
        var refused = await Assert.ThrowsAsync<Grpc.Core.RpcException>(
            async () => await clients.Analysis.FitLivesAsync(new() { Sample = survivors, LifeModel = "weibull-rank-regression" }, cancellationToken: Token));
        Assert.Equal(Grpc.Core.StatusCode.FailedPrecondition, refused.StatusCode);
    }

    [Fact]
    public async Task The_example_in_python_is_used_as_ours_are()
    {
        Assert.SkipUnless(PythonExample.IsInstalled, PythonExample.NotInstalled);
        using var example = new PythonExample();
        await using var own = new OwnService();
        var service = await StartAsync(own, PythonExample.Id, PythonExample.Command, example.Script);
        using var clients = new ServiceClients(service);
        var fit = await UsedAsync(service, clients, "inverse-gaussian", 0, "Inverse Gaussian fit: ventilator-blower,", "by normal approximation");
        Assert.Equal(("log", "inverse-gaussian"), (fit.Plot.Axes.HoursScale, fit.Plot.Axes.FractionScale));

        // Without survivors the maximum is in closed form: the mean of the lives, and the inverse of the mean of 1/t - 1/mean.
        double[] ages = [0.5, 0.8, 1.1, 1.5, 2.2, 4, 7.5];
        var complete = new InlineSample { Observations = { ages.Select(hours => new LifeObservation { FailureHours = hours }) } };
        var closed = (await clients.Analysis.FitLivesAsync(
            new() { Sample = complete, LifeModel = "inverse-gaussian", BoundsMethod = BoundsMethod.NormalApproximation }, cancellationToken: Token)).Fit;
        Assert.Equal(ages.Average(), closed.Parameters["mean"].Value, 1e-6);
        Assert.Equal(1 / ages.Average(t => 1 / t - 1 / ages.Average()), closed.Parameters["shape"].Value, 1e-6);
    }

    /// <summary>Lists, fits, draws and assesses. Lives after the second refurbishment have no late entries, which the one in C# does not take.
    /// A curve with likelihood-ratio bounds is some ten thousand calls, so curves are drawn with others.</summary>
    private async Task<LifeFit> UsedAsync(
        ServiceProcess service, ServiceClients clients, string lifeModel, int refurbishments, params string[] shown)
    {
        string[] lives = ["--model", "ventilator-blower", "--refurbishment", refurbishments.ToString(CultureInfo.InvariantCulture), "--site", "Pellowick Day Surgery", "--minimum-revision", _revision];
        var listed = await clients.Analysis.ListLifeModelsAsync(new(), cancellationToken: Token);
        Assert.Empty(listed.RefusedPlugIns);
        Assert.Contains(listed.LifeModels, model => model.LifeModel_ == lifeModel);

        var picture = Path.Combine(_folder, "fit.png");
        var said = await AskAsync(service, ["fit", .. lives, "--life-model", lifeModel, "--bounds", "normal-approximation", "--plot", picture]);
        Assert.All(shown, words => Assert.Contains(words, said.ReplaceLineEndings(" "), StringComparison.Ordinal));
        Assert.True(new FileInfo(picture).Length > 10_000);

        var cohort = new Cohort { ModuleModels = { "moduleModels/ventilator-blower" }, Sites = { "Pellowick Day Surgery" }, RefurbishmentCounts = { refurbishments } };
        var assessed = await clients.Analysis.AssessLifeModelsAsync(
            new() { Cohort = cohort, LifeModels = { "weibull", lifeModel } }, cancellationToken: Token);
        Assert.Equivalent(new[] { "weibull", lifeModel }, assessed.Models.Select(model => model.LifeModel));
        Assert.All(assessed.Models, model => Assert.True(model.Fit.MeanLife.Value > 0));

        var fit = (await clients.Analysis.FitLivesAsync(new() { Cohort = cohort, LifeModel = lifeModel, BoundsMethod = BoundsMethod.NormalApproximation, IncludePlot = true }, cancellationToken: Token)).Fit;
        double[] rising = [.. fit.Plot.Line.Where(point => point.FractionPosition.HasValue).Select(point => point.FractionPosition.Value)];
        Assert.True(rising.Length > 30 && rising.Order().SequenceEqual(rising));
        return fit;
    }

    private async Task<ServiceProcess> StartAsync(OwnService own, string id, string command, string argument)
    {
        var service = await own.StartAsync(
            "--Engine:RemotePlugIns:0:Id=" + id, "--Engine:RemotePlugIns:0:Command=" + command, "--Engine:RemotePlugIns:0:Arguments:0=" + argument,
            "--Engine:RemotePlugIns:0:StartDeadline=00:02:00", "--Engine:RemotePlugIns:0:Deadline=00:01:00");
        var data = Repository.Path("demo-data");
        await AskAsync(service, "models", "create", data + "/module-models.json");
        var posted = await AskAsync(service, "post", data + "/lives-pellowick.csv");
        _revision = posted.Split("Revision: ")[1].Trim();
        using var clients = new ServiceClients(service);
        for (var waited = Stopwatch.StartNew(); (await clients.Analysis.ListLifeModelsAsync(new(), cancellationToken: Token)).RefusedPlugIns.Count > 0; await Task.Delay(50, Token))
            Assert.True(waited.Elapsed < TimeSpan.FromMinutes(2), "The plug-in did not come.");
        return service;
    }

    private static async Task<string> AskAsync(ServiceProcess service, params string[] arguments)
    {
        var (exitCode, said, error) = await CommandLineProcess.RunAsync(service.GrpcAddress, arguments);
        Assert.True(exitCode == 0, error);
        return said;
    }
}
