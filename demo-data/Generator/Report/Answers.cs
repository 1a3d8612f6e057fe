using Grpc.Core;
using Grpc.Net.Client;
using Reliability.DemoData.Scenario;
using Reliability.V1;

namespace Reliability.DemoData.Report;

/// <summary>The questions that the demo asks a running service.</summary>
internal sealed class Answers(GrpcChannel channel, Network network)
{
    private readonly LifeAnalysisService.LifeAnalysisServiceClient _analysis = new(channel);
    private readonly LifeForecastService.LifeForecastServiceClient _forecast = new(channel);
    private readonly ModuleHistoryService.ModuleHistoryServiceClient _history = new(channel);

    /// <summary>
    /// Waits until the service has taken in what was posted. An event that was posted before is posted again: nothing
    /// changes, and its receipt tells the state of the record with it.
    /// </summary>
    /// <exception cref="InvalidOperationException">The service refuses an event.</exception>
    public async Task WaitForAsync(IEnumerable<ModuleEvent> posted)
    {
        var response = await _history.RecordEventsAsync(new RecordEventsRequest { Events = { posted } });
        foreach (var result in response.Results)
        {
            if (result.OutcomeCase != RecordEventResult.OutcomeOneofCase.Receipt)
                throw new InvalidOperationException($"{result.EventId} was refused: {result.Error?.Message}");
            await _history.ListModulesAsync(
                new ListModulesRequest { PageSize = 1, MinimumRevision = result.Receipt.Revision });
        }
    }

    /// <summary>Refurbished against new.</summary>
    public async Task<CompareCohortsResponse> CompareAsync(Family family) =>
        await _analysis.CompareCohortsAsync(Questions.Compare(network, family));

    /// <summary>A fit of a family with the shape taken as known.</summary>
    public async Task<FitLivesResponse> FitWithShapeAsync(Family family, double shape) =>
        await _analysis.FitLivesAsync(Questions.FitWithShape(network, family, shape));

    /// <summary>What is to be expected of every module in service.</summary>
    public async Task<IReadOnlyList<PredictFailuresResponse>> PredictAsync()
    {
        using var call = _forecast.PredictFailures(Questions.Predict(network));
        return await call.ResponseStream.ReadAllAsync().ToListAsync();
    }
}
