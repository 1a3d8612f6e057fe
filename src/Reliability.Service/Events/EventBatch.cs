using System.Globalization;
using Google.Protobuf.Collections;
using Google.Rpc;
using Reliability.Files;
using Reliability.History.Events;
using Reliability.Service.Errors;
using Reliability.Store.Posting;
using RpcStatus = Google.Rpc.Status;

namespace Reliability.Service.Events;

/// <summary>
/// Events that are posted together: each is checked in itself as it is added, what is right waits to be recorded, and every
/// event gets its own answer in its own place.
/// </summary>
/// <param name="times">The service's time zone.</param>
/// <param name="mapping">Turns events of the wire into those of the record.</param>
/// <param name="time">The clock that tells which events lie ahead.</param>
internal sealed class EventBatch(EventTimes times, EventMapping mapping, TimeProvider time)
{
    private readonly List<RecordedEvent> _right = [];
    private readonly List<Place> _places = [];

    // What an event gets: an error of its own, or what becomes of it once it is recorded.
    private readonly record struct Place(int Index, V1.RecordEventResult? Refusal, bool IsAhead);

    /// <summary>How many events it has.</summary>
    public int Count => _places.Count;

    /// <summary>Those of its events that are right in themselves, to be recorded in this order.</summary>
    public IReadOnlyList<RecordedEvent> Right => _right;

    /// <summary>Adds the events of a call or message.</summary>
    public void Add(RepeatedField<V1.ModuleEvent> events)
    {
        var now = time.GetUtcNow();
        for (var i = 0; i < events.Count; i++)
        {
            var violations = new EventCheck(times, i).Check(events[i]);
            _places.Add(new(
                i, violations is null ? null : new() { EventId = events[i].EventId, Error = violations.ToStatus() },
                FutureTime.Is(events[i], now)));
            if (violations is null)
                _right.Add(mapping.ToHistory(events[i]));
        }
    }

    /// <summary>Answers all events, in the order in which they were added.</summary>
    /// <param name="outcomes">What became of <see cref="Right"/>.</param>
    /// <param name="results">Gets the answers.</param>
    public void Answer(IReadOnlyList<RecordOutcome> outcomes, RepeatedField<V1.RecordEventResult> results)
    {
        var receipts = new Receipts();
        results.Capacity = results.Count + _places.Count;
        var next = 0;
        foreach (var (index, refusal, isAhead) in _places)
        {
            if (refusal is not null)
            {
                results.Add(refusal);
                continue;
            }

            var recorded = _right[next];
            var outcome = outcomes[next++];
            var result = new V1.RecordEventResult { EventId = recorded.OriginalId };
            if (outcome is RecordOutcome.Receipt receipt)
                result.Receipt = receipts.Of(receipt, isAhead);
            else
                result.Error = OtherBody(index, recorded);
            results.Add(result);
        }

        receipts.Count(refused: _places.Count - receipts.Given);
    }

    private static RpcStatus OtherBody(int index, RecordedEvent posted)
    {
        var field = string.Create(CultureInfo.InvariantCulture, $"events[{index}].event_id");
        const string Rule = "was used before by this source for an event that says something else; that one stands";
        return Refusals.Status(
            Code.AlreadyExists, ErrorReasons.EventIdReused, $"{field}: {Rule}",
            new BadRequest { FieldViolations = { new BadRequest.Types.FieldViolation { Field = field, Description = Rule } } },
            new ResourceInfo { ResourceType = "reliability/ModuleEvent", ResourceName = posted.OriginalId });
    }
}
