using Reliability.Service.Telemetry;
using Reliability.Store.Posting;
using Reliability.Store.Revisions;

namespace Reliability.Service.Events;

/// <summary>
/// Makes the receipts of an answer. Events of one commit have one revision, and mostly one receipt, so neighbours share it.
/// </summary>
internal sealed class Receipts
{
    private RecordOutcome.Receipt? _last;
    private V1.Receipt _lastMade = new();
    private Revision _revision;
    private string _revisionText = string.Empty;
    private int _recorded, _duplicates, _unresolved;

    /// <summary>How many events got a receipt.</summary>
    public int Given => _recorded + _duplicates + _unresolved;

    /// <summary>The receipt of an event.</summary>
    public V1.Receipt Of(RecordOutcome.Receipt receipt)
    {
        if (receipt.Duplicate)
            _duplicates++;
        else if (receipt.UnresolvedReason is not null)
            _unresolved++;
        else
            _recorded++;
        if (receipt != _last)
            (_last, _lastMade) = (receipt, Make(receipt));
        return _lastMade;
    }

    /// <summary>Counts what was answered, for telemetry.</summary>
    /// <param name="refused">How many further events were refused.</param>
    public void Count(int refused)
    {
        Count(_recorded, "recorded");
        Count(_duplicates, "duplicate");
        Count(_unresolved, "unresolved");
        Count(refused, "refused");
    }

    private V1.Receipt Make(RecordOutcome.Receipt receipt)
    {
        if (receipt.Revision != _revision)
            (_revision, _revisionText) = (receipt.Revision, receipt.Revision.ToString());
        return new()
        {
            Revision = _revisionText,
            Duplicate = receipt.Duplicate,
            UnresolvedReason = receipt.UnresolvedReason is { } reason ? Words.Code(reason) : string.Empty,
        };
    }

    private static void Count(int events, string outcome)
    {
        if (events > 0)
            ServiceTelemetry.PostedEvents.Add(events, new KeyValuePair<string, object?>("outcome", outcome));
    }
}
