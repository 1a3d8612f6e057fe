using Microsoft.Extensions.Logging.Abstractions;
using Reliability.Engine.PlugIns;
using Reliability.Service.PlugIns;
using Reliability.Service.Work;
using Xunit;

namespace Reliability.Service.Tests.Work;

/// <summary>Who waits for whom while work of a plug-in hangs.</summary>
public sealed class AnalysisLanesTests
{
    private static CancellationToken Cancellation => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Work_of_a_plug_in_that_hangs_holds_up_that_plug_in_alone()
    {
        using var models = Models("hangs", "other");
        using var lanes = new AnalysisLanes(models);
        using var goOn = new ManualResetEventSlim();
        // More than processors, so that a lane shared by all would be full.
        var hanging = Enumerable.Range(0, Environment.ProcessorCount + 2).Select(_ => lanes.RunAsync("fit", 2, ["hangs"], Hang, Cancellation)).ToList();
        var hangingAll = Enumerable.Range(0, 2).Select(_ => lanes.RunAsync("assess", 2, [], Hang, Cancellation)).ToList();
        try
        {
            Assert.Equal(1, await lanes.RunAsync("fit", 2, [""], _ => 1, Cancellation));
            Assert.Equal(2, await lanes.RunAsync("fit", 2, ["weibull"], _ => 2, Cancellation));
            Assert.Equal(3, await lanes.RunAsync("fit", 2, ["other"], _ => 3, Cancellation));
            Assert.Equal(4, await lanes.RunAsync("survival", 2, _ => 4, Cancellation));
            Assert.DoesNotContain(hanging.Concat(hangingAll), work => work.IsCompleted);
        }
        finally
        {
            goOn.Set();
            await Task.WhenAll(hanging.Concat(hangingAll));
        }

        int Hang(CancellationToken stop)
        {
            goOn.Wait(stop);
            return 0;
        }
    }

    [Fact]
    public void A_question_goes_to_the_plug_ins_whose_models_it_names()
    {
        using var models = Models("b-models", "a-models");

        Assert.Equal(["a-models", "b-models"], models.PlugInsAsked([]));
        Assert.Equal(["b-models"], models.PlugInsAsked(["weibull", "b-models"]));
        Assert.Empty(models.PlugInsAsked([""]));
        Assert.Empty(models.PlugInsAsked(["weibull", "gamma"]));
    }

    private static LifeModels Models(params string[] ids)
    {
        var family = PlugInCatalog.Of([], []).Models.Default.Family!;
        var offered = ids.Select(id => new OfferedPlugIn(id, new OneFamilyPlugIn(new RenamedFamily(family, id)), "")).ToList();
        return new LifeModels(PlugInCatalog.Of(offered, []), [], NullLoggerFactory.Instance);
    }
}
