using System.Runtime.CompilerServices;
using Reliability.Analysis;
using Reliability.Engine.Abstractions;
using Reliability.History.Lives;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Service.Lives;
using Reliability.Service.Mapping;
using Reliability.Service.Work;
using Reliability.Store;
using Reliability.Store.Modules;
using Reliability.Store.Records;

namespace Reliability.Service.Forecasts;

/// <summary>Predicts one module or a fleet: the modules, the lives like theirs, and the question.</summary>
internal sealed class Forecasting(
    OrganisationStore store, RevisionGate gate, RecordTimeGate recordTime, ILifeModelCatalog lifeModels, AnalysisLanes lanes,
    TimeProvider time)
{
    /// <summary>Predicts one module.</summary>
    /// <exception cref="Grpc.Core.RpcException">NOT_FOUND, or FAILED_PRECONDITION when there is no prediction.</exception>
    public async Task<V1.Prediction> PredictAsync(string module, ForecastQuestion asked, CancellationToken cancellation)
    {
        await gate.WaitAsync(asked.MinimumRevision, cancellation);
        await recordTime.WaitAsync(asked.Asked.AsOfRecordTime, string.Empty, cancellation);
        var question = asked.At(time.GetUtcNow());
        var history = await store.Modules.GetAsync(module, asked.View, cancellation)
            ?? throw Refusals.NotFound(ResourceNames.ModuleType, ResourceNames.Module(module));
        var filter = new LifeFilter { Models = history.Derived.ModelId is { } model ? [model] : [] };
        var (predict, rows, revision) = await PrepareAsync(filter, asked.View, question, cancellation);
        var answer = await lanes.RunAsync(
            "predict", rows, [question.LifeModel ?? string.Empty], stop => predict.Answer(history.Derived, stop), cancellation);
        return answer.TryGet(out var prediction, out var reason)
            ? PredictionMapping.ToWire(prediction, history.Derived.Identifiers, question, revision)
            : throw Refusals.NotEstimable(reason.Reason, reason.Text);
    }

    /// <summary>Predicts the modules that a filter selects, one after the other.</summary>
    public async IAsyncEnumerable<V1.PredictFailuresResponse> PredictAsync(
        ModuleFilter filter, ForecastQuestion asked, [EnumeratorCancellation] CancellationToken cancellation)
    {
        await gate.WaitAsync(asked.MinimumRevision, cancellation);
        await recordTime.WaitAsync(asked.Asked.AsOfRecordTime, string.Empty, cancellation);
        var question = asked.At(time.GetUtcNow());
        var lives = new LifeFilter { Models = filter.Model is { } model ? [model] : [] };
        var (predict, rows, revision) = await PrepareAsync(lives, asked.View, question, cancellation);
        await foreach (var history in store.Modules.ReadAsync(filter, asked.View, cancellation))
        {
            var answer = await lanes.RunAsync(
                "predict", rows, [question.LifeModel ?? string.Empty], stop => predict.Answer(history.Derived, stop), cancellation);
            yield return answer.TryGet(out var prediction, out var reason)
                ? new() { Prediction = PredictionMapping.ToWire(prediction, history.Derived.Identifiers, question, revision) }
                : new()
                {
                    NotPredicted = new()
                    {
                        Name = ResourceNames.Module(history.Derived.ModuleId),
                        Reason = reason.Reason,
                        Text = reason.Text,
                    },
                };
        }
    }

    private async Task<(PredictFailure Predict, int Rows, string Revision)> PrepareAsync(
        LifeFilter filter, RecordView view, PredictionQuestion question, CancellationToken cancellation)
    {
        var revision = await gate.CurrentAsync(view.AsOfRecordTime, cancellation);
        var catalogue = await store.Catalogue.ReadAsync(view.AsOfRecordTime, cancellation);
        var lives = new List<Life>();
        await foreach (var stored in store.Lives.ReadAsync(filter, view, cancellation))
            lives.Add(stored.Life);
        return (new PredictFailure(lifeModels, catalogue, lives, question), lives.Count, revision);
    }
}
