using Google.Rpc;
using Grpc.Core;
using Reliability.Service.Errors;
using Reliability.Store;
using Reliability.Store.Revisions;

namespace Reliability.Service.Lives;

/// <summary>Lets a caller read its own writes: waits until a revision it was given is taken in.</summary>
internal sealed class RevisionGate(OrganisationStore store)
{
    private const string Field = "minimum_revision";

    private static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(30), RetryAfter = TimeSpan.FromSeconds(5);

    /// <summary>Waits, at most half a minute.</summary>
    /// <param name="minimum">The revision; empty for none.</param>
    /// <param name="cancellation">Ends the wait.</param>
    /// <exception cref="RpcException">INVALID_ARGUMENT: no revision of ours. UNAVAILABLE: not taken in within the time.</exception>
    public async Task WaitAsync(string minimum, CancellationToken cancellation)
    {
        if (minimum.Length == 0)
            return;
        if (!Revision.TryParse(minimum, out var revision))
            throw Refusals.InvalidField(Field, "must be a revision of an earlier answer or receipt");
        switch (await store.Revisions.WaitAsync(revision, LongestWait, cancellation))
        {
            case RevisionWait.Reached:
                return;
            case RevisionWait.TimedOut:
                throw Refusals.TryAgain(
                    Code.Unavailable, ErrorReasons.RevisionNotReached,
                    "The lives have not taken that revision in yet. Try again after a while.", RetryAfter).ToRpcException();
            default:
                throw Refusals.InvalidField(Field, "must be a revision that this service gave out");
        }
    }

    /// <summary>A revision that this service gave out, without waiting for the lives to follow.</summary>
    /// <exception cref="RpcException">INVALID_ARGUMENT: no revision of ours.</exception>
    public async Task<Revision> KnownAsync(string text, string field, CancellationToken cancellation)
    {
        if (!Revision.TryParse(text, out var revision))
            throw Refusals.InvalidField(field, "must be a revision of an earlier answer or receipt");
        return await store.Revisions.WaitAsync(revision, TimeSpan.Zero, cancellation) is RevisionWait.Reached or RevisionWait.TimedOut
            ? revision
            : throw Refusals.InvalidField(field, "must be a revision that this service gave out");
    }

    /// <summary>The state of the record that answers rest on.</summary>
    /// <param name="asOf">The instant of the record asked for, which says it already; null for the present record.</param>
    /// <param name="cancellation">Ends the query.</param>
    public async Task<string> CurrentAsync(DateTimeOffset? asOf, CancellationToken cancellation) =>
        asOf is null ? (await store.Revisions.CurrentAsync(cancellation)).ToString() : string.Empty;
}
