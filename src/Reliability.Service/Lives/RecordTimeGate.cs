using Google.Protobuf.WellKnownTypes;
using Google.Rpc;
using Grpc.Core;
using Reliability.Service.Errors;
using Reliability.Store;
using Reliability.Store.Records;
using Reliability.Store.Revisions;

namespace Reliability.Service.Lives;

/// <summary>
/// Lets a question of the record as of an instant through once that record is settled, so that the answer is the same
/// whenever it is asked.
/// </summary>
internal sealed class RecordTimeGate(OrganisationStore store)
{
    /// <summary>Name of the field in every request that has it.</summary>
    public const string Field = "as_of_record_time";

    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(30), RetryAfter = TimeSpan.FromSeconds(5);

    /// <summary>The record of an instant, when it is settled; the present one without an instant.</summary>
    /// <exception cref="RpcException">As <see cref="WaitAsync"/>.</exception>
    public async Task<RecordView> ViewAsync(Timestamp? asOf, CancellationToken cancellation)
    {
        var view = new RecordView { AsOfRecordTime = asOf?.ToDateTimeOffset() };
        await WaitAsync(view.AsOfRecordTime, string.Empty, cancellation);
        return view;
    }

    /// <summary>Waits, at most half a minute.</summary>
    /// <param name="asOf">The instant; null for the present record, which needs no wait.</param>
    /// <param name="path">Where the field stands in the request, such as <c>cohort.</c>; empty for the request itself.</param>
    /// <param name="cancellation">Ends the wait.</param>
    /// <exception cref="RpcException">INVALID_ARGUMENT: still to come. UNAVAILABLE: not settled within the time.</exception>
    public async Task WaitAsync(DateTimeOffset? asOf, string path, CancellationToken cancellation)
    {
        if (asOf is not { } recordTime)
            return;
        switch (await store.RecordTimes.SettleAsync(recordTime, LongestWait, cancellation))
        {
            case RecordTimeWait.Settled:
                return;
            case RecordTimeWait.Future:
                throw Refusals.InvalidField(path + Field, "must not be later than now: more may be recorded by then");
            default:
                throw Refusals.TryAgain(
                    Code.Unavailable, ErrorReasons.RecordTimeNotSettled,
                    $"{path}{Field}: what was recorded by then is still being written or taken in. Try again after a while.",
                    RetryAfter).ToRpcException();
        }
    }
}
