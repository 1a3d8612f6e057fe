using System.Globalization;
using Reliability.Service.Errors;
using Reliability.Service.Hosting;
using Reliability.Store;
using Reliability.Store.Posting;

namespace Reliability.Service.Events;

/// <summary>Posts events: what is right in itself is recorded, and every event gets its own answer.</summary>
internal sealed class EventPosting(OrganisationStore store, EventTimes times, EventMapping mapping, TimeProvider time)
{
    private const string Field = "events";

    /// <summary>Answers a call.</summary>
    /// <exception cref="Grpc.Core.RpcException">It has no events, or too many.</exception>
    public async Task<V1.RecordEventsResponse> RecordAsync(V1.RecordEventsRequest request, CancellationToken cancellation)
    {
        Problem(request.Events.Count)?.ThrowIfAny();
        var batch = NewBatch();
        batch.Add(request.Events);
        var outcomes = batch.Right.Count == 0 ? []
            : request.ValidateOnly ? await store.Events.CheckAsync(batch.Right, cancellation)
            : await store.Events.RecordAsync(batch.Right, cancellation);
        var response = new V1.RecordEventsResponse();
        batch.Answer(outcomes, response.Results);
        return response;
    }

    /// <summary>A batch to fill.</summary>
    public EventBatch NewBatch() => new(times, mapping, time);

    /// <summary>Records what is right in a batch. Done once it is on disk.</summary>
    public Task<IReadOnlyList<RecordOutcome>> RecordAsync(EventBatch batch, CancellationToken cancellation) =>
        store.Events.RecordAsync(batch.Right, cancellation);

    /// <summary>What is wrong with the number of events of a call or message; null when nothing is.</summary>
    public static Violations? Problem(int count)
    {
        if (count is >= 1 and <= Limits.MaxEvents)
            return null;
        var violations = new Violations();
        if (count == 0)
            violations.Add(Field, "must have at least one event");
        else
        {
            violations.AddLimit(Field, string.Create(
                CultureInfo.InvariantCulture, $"must not have more than {Limits.MaxEvents:N0} events; got {count:N0}"));
        }

        return violations;
    }
}
