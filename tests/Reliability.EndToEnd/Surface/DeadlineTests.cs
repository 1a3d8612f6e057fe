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
        var late = await Assert.ThrowsAsync<RpcException>(async () => await shared.Clients.Analysis.FitLivesAsync(
            SlowFit.Request(), deadline: DateTime.UtcNow.AddSeconds(5), cancellationToken: TestContext.Current.CancellationToken));

        Assert.Equal(StatusCode.DeadlineExceeded, late.StatusCode);
        await SmallFitAsync();
    }

    private async Task SmallFitAsync()
    {
        var response = await shared.Clients.Analysis.FitLivesAsync(
            new FitLivesRequest { Sample = new() { Observations = { new LifeObservation { FailureHours = 100 }, new LifeObservation { SurvivalHours = 300 } } } },
            cancellationToken: TestContext.Current.CancellationToken);
        Assert.Equal(2, response.SampleSummary.LifeCount);
    }
}
