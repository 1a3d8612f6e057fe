using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.Store.Posting;

/// <summary>
/// Tells what would become of events that are given in several parts, as the rows of a file: all parts count as arrived
/// for each other, whatever their order. Nothing is recorded. It remembers every id it was given. Not thread-safe.
/// </summary>
public sealed class CheckTogether
{
    private readonly string _organisation;
    private readonly PostCheck _check;
    // Of the module only a hash is remembered: there may be millions.
    private readonly Dictionary<Guid, (long BodyHash, int Module)> _said = [];
    private readonly HashSet<string> _registered = new(StringComparer.Ordinal);
    private readonly Dictionary<(UnresolvedReason Reason, string Module, Guid Target), long> _waiting = [];

    internal CheckTogether(string organisation, PostCheck check) => (_organisation, _check) = (organisation, check);

    /// <summary>
    /// How many of the events given so far would not count yet, by reason. An event that waits for another of the same
    /// file is not among them once that one was given.
    /// </summary>
    public IReadOnlyDictionary<UnresolvedReason, long> Unresolved => _waiting
        .Where(wait => wait.Key.Reason switch
        {
            UnresolvedReason.ModuleNotRegistered => !_registered.Contains(wait.Key.Module),
            // A correction and what it corrects are in one record.
            UnresolvedReason.TargetMissing =>
                !_said.TryGetValue(wait.Key.Target, out var target) || target.Module != HashOf(wait.Key.Module),
            _ => true,
        })
        .GroupBy(wait => wait.Key.Reason)
        .ToDictionary(group => group.Key, group => group.Sum(wait => wait.Value));

    /// <summary>Checks the next part.</summary>
    /// <param name="events">The events, valid in themselves.</param>
    /// <param name="cancellation">Ends the check.</param>
    /// <returns>What would become of each, in the order given; what they wait for is known at the end only.</returns>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task<IReadOnlyList<RecordOutcome>> CheckAsync(
        IReadOnlyList<RecordedEvent> events, CancellationToken cancellation)
    {
        if (events.Count == 0) return [];
        PostedEvent[] posted = [.. events.Select(PostedEvent.Of)];
        var outcomes = await _check.CheckAsync(_organisation, posted, cancellation);
        return [.. outcomes.Zip(posted, Settle)];
    }

    private RecordOutcome Settle(RecordOutcome outcome, PostedEvent posted)
    {
        if (outcome is not RecordOutcome.Receipt receipt) return outcome;
        if (!_said.TryAdd(posted.Event.EventId, (posted.BodyHash, HashOf(posted.Event.ModuleId))))
        {
            if (_said[posted.Event.EventId].BodyHash != posted.BodyHash) return new RecordOutcome.OtherBody();
            receipt = receipt with { Duplicate = true };
        }
        if (posted.Event.Body is RegisteredV1) _registered.Add(posted.Event.ModuleId);
        if (receipt.UnresolvedReason is { } reason)
        {
            var wait = (
                reason, posted.Event.ModuleId, UnresolvedCheck.Target(_organisation, posted.Event.Body) ?? Guid.Empty);
            _waiting[wait] = _waiting.GetValueOrDefault(wait) + 1;
        }
        return receipt;
    }

    private static int HashOf(string module) => string.GetHashCode(module, StringComparison.Ordinal);
}
