using System.Collections.Concurrent;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults.Clients;

/// <summary>All receipts that clients were given, and what no receipt may do.</summary>
internal sealed class Receipts
{
    private readonly ConcurrentDictionary<string, Receipt> _first = new(StringComparer.Ordinal);
    private readonly ConcurrentDictionary<string, int> _new = new(StringComparer.Ordinal);
    private readonly ConcurrentQueue<string> _broken = [];
    private long _given;

    /// <summary>How many receipts were given, repeated ones included.</summary>
    public long Given => Interlocked.Read(ref _given);

    /// <summary>The first receipt of each event.</summary>
    public IReadOnlyDictionary<string, Receipt> First => _first;

    /// <summary>How many events were called new by one of their receipts.</summary>
    public int New => _new.Count;

    /// <summary>Receipts that contradict each other, in words. There must be none.</summary>
    public IReadOnlyCollection<string> Broken => _broken;

    public void Note(RecordEventResult result)
    {
        Interlocked.Increment(ref _given);
        if (result.Receipt is not { } receipt)
        {
            _broken.Enqueue($"{result.EventId} was refused: {result.Error}");
            return;
        }

        var first = _first.GetOrAdd(result.EventId, receipt);
        if (first.Revision != receipt.Revision)
            _broken.Enqueue($"{result.EventId} had the revision {first.Revision} and then {receipt.Revision}.");
        if (!receipt.Duplicate && _new.AddOrUpdate(result.EventId, 1, (_, count) => count + 1) > 1)
            _broken.Enqueue($"{result.EventId} was called new more than once.");
        if (!receipt.Duplicate && !ReferenceEquals(first, receipt) && first.Revision == receipt.Revision && !first.Duplicate)
            _broken.Enqueue($"{result.EventId} was called new by a second receipt.");
    }
}
