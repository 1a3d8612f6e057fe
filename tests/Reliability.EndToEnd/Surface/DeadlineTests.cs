using Grpc.Core;
using Reliability.EndToEnd.Running;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Surface;

/// <summary>A deadline that passes is told, and the service goes on.</summary>
public sealed class DeadlineTests(SharedService shared)
{
    [Fact]
    public async Task A_deadline_that_passes_is_told_and_the_service_goes_on()
    {
        // How long the fit takes is the machine's affair: the deadline comes closer until it passes within the fit.
        var deadline = TimeSpan.FromSeconds(4);
        RpcException? late;
        while ((late = await LateAsync(deadline)) is null)
            deadline /= 2;

        Assert.Equal(StatusCode.DeadlineExceeded, late.StatusCode);
        await SmallFitAsync();
    }

    private async Task<RpcException?> LateAsync(TimeSpan deadline)
    {
        try
        {
            await shared.Clients.Analysis.FitLivesAsync(
                SlowFit.Request(), deadline: DateTime.UtcNow + deadline, cancellationToken: TestContext.Current.CancellationToken);
            return null;
        }
        catch (RpcException refused)
        {
            return refused;
        }
    }

    private async Task SmallFitAsync()
    {
        var response = await shared.Clients.Analysis.FitLivesAsync(
            new FitLivesRequest { Sample = new() { Observations = { new LifeObservation { FailureHours = 100 }, new LifeObservation { SurvivalHours = 300 } } } },
            cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(2, response.SampleSummary.LifeCount);
    }
}
