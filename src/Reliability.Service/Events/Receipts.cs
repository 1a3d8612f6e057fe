using Reliability.Service.Telemetry;
using Reliability.Service.Uploads;
using Reliability.Store.Posting;
using Reliability.Store.Revisions;

namespace Reliability.Service.Events;

/// <summary>
/// Makes the receipts of an answer. Events of one commit have one revision, and mostly one receipt, so neighbours share it.
/// </summary>
internal sealed class Receipts
{
    private static readonly V1.Warning Ahead = new()
    {
        Code = UploadWarnings.FutureTimes,
        Text = "occur_time lies more than a day ahead of the service's clock. The event is taken as it stands.",
    };

    private RecordOutcome.Receipt? _last;
    private bool _lastIsAhead;
    private V1.Receipt _lastMade = new();
    private Revision _revision;
    private string _revisionText = string.Empty;
    private int _recorded, _duplicates, _unresolved;

    /// <summary>How many events got a receipt.</summary>
    public int Given => _recorded + _duplicates + _unresolved;

    /// <summary>The receipt of an event.</summary>
    /// <param name="receipt">What became of it.</param>
    /// <param name="isAhead">Whether it lies ahead of the service's clock.</param>
    public V1.Receipt Of(RecordOutcome.Receipt receipt, bool isAhead)
    {
        if (receipt.Duplicate)
            _duplicates++;
        else if (receipt.UnresolvedReason is not null)
            _unresolved++;
        else
            _recorded++;
        if (receipt != _last || isAhead != _lastIsAhead)
            (_last, _lastIsAhead, _lastMade) = (receipt, isAhead, Make(receipt, isAhead));
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

    private V1.Receipt Make(RecordOutcome.Receipt receipt, bool isAhead)
    {
        if (receipt.Revision != _revision)
            (_revision, _revisionText) = (receipt.Revision, receipt.Revision.ToString());
        return new()
        {
            Revision = _revisionText,
            Duplicate = receipt.Duplicate,
            UnresolvedReason = receipt.UnresolvedReason is { } reason ? Words.Code(reason) : string.Empty,
            Warnings = { isAhead ? [Ahead] : Array.Empty<V1.Warning>() },
        };
    }

    private static void Count(int events, string outcome)
    {
        if (events > 0)
            ServiceTelemetry.PostedEvents.Add(events, new KeyValuePair<string, object?>("outcome", outcome));
    }
}
