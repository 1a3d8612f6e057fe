using System.Globalization;
using Google.Rpc;
using Reliability.History.Events;
using Reliability.Service.Errors;
using Reliability.Service.Hosting;
using Reliability.Service.Telemetry;
using Reliability.Store;
using Reliability.Store.Posting;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Events;

/// <summary>Posts events: each is checked in itself, what is right is recorded, and every event gets its own answer.</summary>
internal sealed class EventPosting(OrganisationStore store, EventTimes times, EventMapping mapping)
{
    private const string Field = "events";

    public async Task<V1.RecordEventsResponse> RecordAsync(V1.RecordEventsRequest request, CancellationToken cancellation)
    {
        CheckBatch(request.Events.Count);
        var results = new V1.RecordEventResult[request.Events.Count];
        var right = new List<(int Index, RecordedEvent Event)>(request.Events.Count);
        for (var i = 0; i < request.Events.Count; i++)
        {
            var posted = request.Events[i];
            var violations = new Violations();
            new EventCheck(times, string.Create(CultureInfo.InvariantCulture, $"{Field}[{i}]"), violations).Check(posted);
            if (violations.IsEmpty)
                right.Add((i, mapping.ToHistory(posted)));
            else
                results[i] = new() { EventId = posted.EventId, Error = violations.ToStatus() };
        }

        var outcomes = await PostAsync([.. right.Select(item => item.Event)], request.ValidateOnly, cancellation);
        for (var i = 0; i < outcomes.Count; i++)
            results[right[i].Index] = Result(right[i].Index, right[i].Event, outcomes[i]);
        Count(results);
        var response = new V1.RecordEventsResponse();
        response.Results.AddRange(results);
        return response;
    }

    private static void CheckBatch(int count)
    {
        var violations = new Violations();
        if (count == 0)
            violations.Add(Field, "must have at least one event");
        if (count > Limits.MaxEvents)
        {
            violations.AddLimit(Field, string.Create(
                CultureInfo.InvariantCulture, $"must not have more than {Limits.MaxEvents:N0} events; got {count:N0}"));
        }

        violations.ThrowIfAny();
    }

    private Task<IReadOnlyList<RecordOutcome>> PostAsync(
        List<RecordedEvent> events, bool validateOnly, CancellationToken cancellation) =>
        events.Count == 0 ? Task.FromResult<IReadOnlyList<RecordOutcome>>([])
        : validateOnly ? store.Events.CheckAsync(events, cancellation)
        : store.Events.RecordAsync(events, cancellation);

    private static V1.RecordEventResult Result(int index, RecordedEvent posted, RecordOutcome outcome)
    {
        var result = new V1.RecordEventResult { EventId = posted.OriginalId };
        switch (outcome)
        {
            case RecordOutcome.Receipt receipt:
                result.Receipt = new()
                {
                    Revision = receipt.Revision.ToString(),
                    Duplicate = receipt.Duplicate,
                    UnresolvedReason = receipt.UnresolvedReason is { } reason ? Words.Code(reason) : string.Empty,
                };
                break;
            default:
                result.Error = OtherBody(index, posted);
                break;
        }

        return result;
    }

    private static RpcStatus OtherBody(int index, RecordedEvent posted)
    {
        var field = string.Create(CultureInfo.InvariantCulture, $"{Field}[{index}].event_id");
        const string Rule = "was used before by this source for an event that says something else; that one stands";
        return Refusals.Status(
            Code.AlreadyExists, ErrorReasons.EventIdReused, $"{field}: {Rule}",
            new BadRequest { FieldViolations = { new BadRequest.Types.FieldViolation { Field = field, Description = Rule } } },
            new ResourceInfo { ResourceType = "reliability/ModuleEvent", ResourceName = posted.OriginalId });
    }

    private static void Count(V1.RecordEventResult[] results)
    {
        foreach (var group in results.GroupBy(Outcome))
            ServiceTelemetry.PostedEvents.Add(group.Count(), new KeyValuePair<string, object?>("outcome", group.Key));
    }

    private static string Outcome(V1.RecordEventResult result) => result switch
    {
        { Error: not null } => "refused",
        { Receipt.Duplicate: true } => "duplicate",
        { Receipt.UnresolvedReason.Length: > 0 } => "unresolved",
        _ => "recorded",
    };
}
