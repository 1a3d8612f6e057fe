using Grpc.Core;
using Reliability.EndToEnd.CommandLine;
using Reliability.EndToEnd.Running;
using Reliability.Engine.PlugIns.Loading;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.PlugIns;

/// <summary>Real plug-ins in a real service: listed, fitted, assessed beside ours, and told of when they fail.</summary>
public sealed class InProcessTests
{
    private static readonly double[] Failures = [120, 260, 300, 410, 480, 530, 560, 610, 700, 820];

    private static InlineSample Sample => new() { Observations = { Failures.Select(hours => new LifeObservation { FailureHours = hours }) } };

    [Fact]
    public async Task Plug_ins_of_the_allow_list_answer_beside_ours_and_those_that_fail_tell_their_caller_why()
    {
        var cancellation = TestContext.Current.CancellationToken;
        using var folders = new PlugInFolders();
        var wear = PlugInFiles.Read(folders.Add("Wear", "wear")).Hash;
        var broken = PlugInFiles.Read(folders.Add("Broken", "broken")).Hash;
        var unwilling = PlugInFiles.Read(folders.Add("Unwilling", "unwilling")).Hash;
        folders.Add("Wear", "stranger");
        await using var service = await InsideService.StartAsync(
            null, cancellation, "--Engine:PluginDirectory=" + folders.Path, "--Engine:AllowedPlugIns:wear=" + wear,
            "--Engine:AllowedPlugIns:broken=" + broken, "--Engine:AllowedPlugIns:unwilling=" + unwilling);
        var analysis = service.Clients.Analysis;

        var listed = await analysis.ListLifeModelsAsync(new(), cancellationToken: cancellation);
        var gompertz = Assert.Single(listed.LifeModels, model => model.LifeModel_ == "gompertz");
        Assert.Equal(("wear", "1.2.3", "The tests", wear), (gompertz.PlugIn.PlugIn, gompertz.PlugIn.Version, gompertz.PlugIn.Publisher, gompertz.PlugIn.Hash));
        Assert.Equal("Gompertz 1825", gompertz.Source);
        Assert.All(listed.LifeModels.Where(model => model.IsDefault), model => Assert.Equal("built-in", model.PlugIn.PlugIn));
        Assert.Equal(["stranger", "unwilling"], listed.RefusedPlugIns.Select(refused => refused.Place));
        Assert.Equal("The allow-list does not name it.", listed.RefusedPlugIns[0].Reason);

        // A family has every answer that ours have; its own axes among them.
        var fit = (await analysis.FitLivesAsync(
            new() { Sample = Sample, LifeModel = "gompertz", IncludePlot = true, IncludeResiduals = true, FitTestReplicates = 20, ReliabilityHours = { 400 } },
            cancellationToken: cancellation)).Fit;
        Assert.EndsWith(" with wear 1.2.3 " + wear, fit.EngineVersion, StringComparison.Ordinal);
        Assert.Equal(BoundsMethod.LikelihoodRatio, fit.BoundsMethod);
        Assert.True(fit.MeanLife.Lower < fit.MeanLife.Value && fit.MeanLife.Value < fit.MeanLife.Upper);
        Assert.Equal("gompertz", fit.Plot.Axes.FractionScale);
        Assert.InRange(fit.FitTest.AndersonDarlingPValue, 0.05, 1);

        // An estimator has the service around it: its values without bounds, its own reason for lives that it does not take.
        var line = (await analysis.FitLivesAsync(new() { Sample = Sample, LifeModel = "median-rank-weibull" }, cancellationToken: cancellation)).Fit;
        Assert.InRange(line.PercentileLives.Single(p => p.FailureFraction == 0.5).Hours.Value, 400, 560);
        Assert.Contains(line.Warnings, warning => warning.Code == "NO_BOUNDS");
        var survivor = Sample;
        survivor.Observations.Add(new LifeObservation { SurvivalHours = 900 });
        await RefusedAsync(
            "COMPLETE_SAMPLE_NEEDED", StatusCode.FailedPrecondition,
            () => analysis.FitLivesAsync(new() { Sample = survivor, LifeModel = "median-rank-weibull" }, cancellationToken: cancellation));

        // What breaks its contract costs its caller an answer, with the reason, and nobody else anything.
        var backward = await RefusedAsync(
            "LIFE_MODEL_FAILED", StatusCode.Internal,
            () => analysis.FitLivesAsync(new() { Sample = Sample, LifeModel = "backward" }, cancellationToken: cancellation));
        Assert.Contains("its quantile goes back", backward, StringComparison.Ordinal);
        await RefusedAsync(
            "LIFE_MODEL_FAILED", StatusCode.Internal,
            () => analysis.CompareCohortsAsync(
                new() { LifeModel = "throwing", Groups = { new CohortGroup { Name = "a", Sample = Sample }, new CohortGroup { Name = "b", Sample = Sample } } },
                cancellationToken: cancellation));
        var assessed = await analysis.AssessLifeModelsAsync(new() { Sample = Sample }, cancellationToken: cancellation);
        Assert.Equal(listed.LifeModels.Count, assessed.Models.Count);
        foreach (var model in assessed.Models)
        {
            var failed = model.LifeModel is "backward" or "throwing";
            Assert.Equal(failed, model.NotEstimable?.Reason == "LIFE_MODEL_FAILED");
            if (model.LifeModel is "weibull" or "gompertz")
                Assert.True(model.HasAiccDifference);
        }
    }

    [Fact]
    public async Task The_command_line_prints_the_hash_for_the_allow_list()
    {
        using var folders = new PlugInFolders();
        var folder = folders.Add("Wear", "wear");
        Uri nowhere = new("http://127.0.0.1:1");
        var said = await CommandLineProcess.RunAsync(nowhere, "plug-ins", "hash", folder);
        Assert.Equal((0, PlugInFiles.Read(folder).Hash), (said.ExitCode, said.Out.Trim()));
        Assert.Equal(2, (await CommandLineProcess.RunAsync(nowhere, "plug-ins", "hash", folder + "-not-there")).ExitCode);
    }

    private static async Task<string> RefusedAsync<T>(string reason, StatusCode code, Func<AsyncUnaryCall<T>> call)
    {
        var refusal = await Assert.ThrowsAsync<RpcException>(async () => await call());
        var status = StatusDetails.Of(refusal);
        Assert.Equal((code, reason), (refusal.StatusCode, StatusDetails.Reason(status)));
        Assert.DoesNotContain("secret", status.Message, StringComparison.Ordinal);
        return status.Message;
    }
}
