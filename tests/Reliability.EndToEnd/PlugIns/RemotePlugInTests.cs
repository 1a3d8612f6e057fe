using System.Globalization;
using System.Text.Json;
using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.PlugIns;

/// <summary>
/// Plug-ins that are processes of their own, most of which do wrong: each caller is told why, callers of other life models are answered
/// meanwhile, and nothing is left when the service has stopped.
/// </summary>
public sealed class RemotePlugInTests
{
    private static readonly (string Vice, string Reason)[] Vices =
    [
        ("loops", "it did not answer within its deadline of 2 s, and was ended."),
        ("overflows", "its process ended by signal 6."),
        ("allocates", "it was ended because it took more than its 300 MiB of memory."),
        ("answers-nan", "is NaN"),
        ("goes-back", "quantile"),
    ];

    private static CancellationToken Token => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Whatever_a_remote_plug_in_does_its_own_caller_is_told_and_others_are_answered()
    {
        await using var own = new OwnService();
        var service = await own.StartAsync([.. Settings(["none", "exits-at-once", .. Vices.Select(one => one.Vice)])]);
        using var clients = new ServiceClients(service);
        await ListedAsync(clients);
        await HealthyAsync(clients);

        // A Gompertz fitted in another process: at the maximum its shape is failures over the sum of exp(t / scale) - 1.
        var fit = (await clients.Analysis.FitLivesAsync(Fit("none"), cancellationToken: Token)).Fit;
        var scale = fit.Parameters["scale"].Value;
        Assert.Equal(8 / (Failures.Sum(t => Math.Exp(t / scale) - 1) + 3 * (Math.Exp(4500 / scale) - 1)), fit.Parameters["shape"].Value, 1e-6);
        Assert.Contains("plug-none 1.0", fit.EngineVersion, StringComparison.Ordinal);

        using var over = CancellationTokenSource.CreateLinkedTokenSource(Token);
        var others = Task.Run(() => AskOthersAsync(clients, over.Token), Token);
        await Task.WhenAll(Vices.Select(async one =>
        {
            var failure = await Assert.ThrowsAsync<RpcException>(async () => await clients.Analysis.FitLivesAsync(Fit(one.Vice), cancellationToken: Token));
            Assert.Contains(one.Reason, failure.Status.Detail, StringComparison.Ordinal);
            Assert.Equal("LIFE_MODEL_FAILED", StatusDetails.Reason(StatusDetails.Of(failure)));
        }));
        await over.CancelAsync();
        Assert.True(await others > 5);

        // Side by side with one that fails, the other is answered.
        var assessed = await clients.Analysis.AssessLifeModelsAsync(
            new AssessLifeModelsRequest { Sample = Fit("none").Sample, LifeModels = { "weibull", "plug-overflows" } }, cancellationToken: Token);
        Assert.NotNull(assessed.Models[0].Fit);
        Assert.Equal("LIFE_MODEL_FAILED", assessed.Models[1].NotEstimable.Reason);

        Assert.Equal(0, await service.StopAsync());
        Assert.DoesNotContain(Directory.EnumerateDirectories("/proc"), IsHostile);
    }

    [Fact]
    public async Task A_wrong_setting_is_named_with_its_rule_and_the_service_does_not_start()
    {
        var (exitCode, said) = await ServiceProcess.RunToEndAsync(
            "--Engine:RemotePlugIns:0:Id=One", "--Engine:RemotePlugIns:0:Command=x", "--Engine:RemotePlugIns:0:Deadline=1e6",
            "--Engine:RemotePlugIns:1:Id=two", "--Engine:RemotePlugIns:1:Memory=1");
        Assert.Equal(2, exitCode);
        Assert.Contains("Engine:RemotePlugIns:0:Deadline must be a time such as 00:00:10; got \"1e6\".", said, StringComparison.Ordinal);
        Assert.Contains("Engine:RemotePlugIns:1:Memory is not a setting", said, StringComparison.Ordinal);
    }

    private static double[] Failures => [900, 1800, 2600, 3200, 3500, 3900, 4100, 4400];

    private static async Task ListedAsync(ServiceClients clients)
    {
        var listed = await clients.Analysis.ListLifeModelsAsync(new ListLifeModelsRequest(), cancellationToken: Token);
        var model = Assert.Single(listed.LifeModels, model => model.LifeModel_ == "plug-none");
        Assert.Equal(("plug-none", "1.0", "tests"), (model.PlugIn.PlugIn, model.PlugIn.Version, model.PlugIn.Publisher));
        Assert.Contains(listed.LifeModels, model => model.LifeModel_ == "plug-none-estimator");
        var refused = Assert.Single(listed.RefusedPlugIns);
        Assert.Equal("plug-exits-at-once", refused.Place);
        Assert.Contains("exited with code 3", refused.Reason, StringComparison.Ordinal);
    }

    private static async Task HealthyAsync(ServiceClients clients)
    {
        using var answer = await clients.Http.GetAsync(new Uri("/healthz/ready", UriKind.Relative), Token);
        Assert.True(answer.IsSuccessStatusCode);
        using var health = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Token));
        Assert.Equal("Degraded", health.RootElement.GetProperty("checks").GetProperty("plug-ins").GetString());
        Assert.Contains(
            "plug-exits-at-once", health.RootElement.GetProperty("problems").GetProperty("plug-ins").GetString(), StringComparison.Ordinal);
    }

    /// <summary>Fits that have nothing to do with plug-ins, one after the other.</summary>
    /// <returns>How many were answered before it was over: all of them.</returns>
    private static async Task<int> AskOthersAsync(ServiceClients clients, CancellationToken over)
    {
        var request = Fit("none");
        request.LifeModel = "weibull";
        for (var answered = 0; ; answered++)
        {
            if (over.IsCancellationRequested)
                return answered;
            Assert.NotNull((await clients.Analysis.FitLivesAsync(request, cancellationToken: Token)).Fit);
            await Task.Delay(50, Token);
        }
    }

    private static FitLivesRequest Fit(string vice)
    {
        var request = new FitLivesRequest
        {
            LifeModel = "plug-" + vice,
            Sample = new InlineSample(),
            BoundsMethod = BoundsMethod.NormalApproximation,
        };
        request.Sample.Observations.Add(Failures.Select(hours => new LifeObservation { FailureHours = hours }));
        request.Sample.Observations.Add(new LifeObservation { SurvivalHours = 4500, Count = 3 });
        return request;
    }

    private static IEnumerable<string> Settings(IReadOnlyList<string> vices) => vices.SelectMany((vice, i) =>
    {
        var entry = string.Create(CultureInfo.InvariantCulture, $"--Engine:RemotePlugIns:{i}:");
        return new[]
        {
            $"{entry}Id=plug-{vice}", $"{entry}Command=dotnet", $"{entry}Arguments:0={Program}", $"{entry}Arguments:1=plug-{vice}",
            $"{entry}Arguments:2={vice}", $"{entry}StartDeadline=00:02:00", $"{entry}MemoryLimit=300MiB",
            $"{entry}Deadline={(vice == "loops" ? "00:00:02" : "00:01:00")}",
        };
    });

    private static string Program => Path.Combine(AppContext.BaseDirectory, "Reliability.PlugIns.Hostile.dll");

    private static bool IsHostile(string folder)
    {
        try
        {
            return File.ReadAllText(folder + "/cmdline").Contains(Program, StringComparison.Ordinal);
        }
        catch (IOException)
        {
            return false;
        }
    }
}
