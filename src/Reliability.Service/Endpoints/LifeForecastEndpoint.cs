using Grpc.Core;
using Reliability.Service.Events;
using Reliability.Service.Filters;
using Reliability.Service.Forecasts;
using Reliability.Service.Validation;

namespace Reliability.Service.Endpoints;

/// <summary>LifeForecastService: what is to be expected of modules in service.</summary>
internal sealed class LifeForecastEndpoint(RequestCheck requestCheck, Forecasting forecasting)
    : V1.LifeForecastService.LifeForecastServiceBase
{
    public override async Task<V1.Prediction> PredictFailure(V1.PredictFailureRequest request, ServerCallContext context)
    {
        requestCheck.Enforce(request);
        return await forecasting.PredictAsync(
            ResourceNames.Id(request.Name), ForecastQuestion.Of(request), context.CancellationToken);
    }

    public override async Task PredictFailures(
        V1.PredictFailuresRequest request, IServerStreamWriter<V1.PredictFailuresResponse> responseStream,
        ServerCallContext context)
    {
        var violations = requestCheck.Check(request);
        var filter = ModuleFilters.Read(request.Filter, violations);
        violations.ThrowIfAny();
        if (request.Filter.AsSpan().IsWhiteSpace())
            filter = filter with { State = History.Lives.ModuleState.InService };
        // A slow reader holds back the next prediction: a write completes when the transport has taken it.
        await foreach (var response in forecasting.PredictAsync(filter, ForecastQuestion.Of(request), context.CancellationToken))
            await responseStream.WriteAsync(response, context.CancellationToken);
    }
}
