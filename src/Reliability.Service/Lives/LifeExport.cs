using Google.Api;
using Google.Protobuf;
using Reliability.Files.LifeFiles;
using Reliability.Service.Mapping;
using Reliability.Store;

namespace Reliability.Service.Lives;

/// <summary>
/// Exports the lives of a cohort, holding a chunk of lines at a time. The file shows one state of the record: stored lives are
/// read by one query; in another view lives are derived as of one instant, that of the asking when none is given.
/// </summary>
internal sealed class LifeExport(OrganisationStore store, RevisionGate gate, RecordTimeGate recordTime)
{
    private const string ContentType = "text/csv; charset=utf-8; header=present";
    private const int LivesOfAChunk = 250;

    /// <summary>The file in chunks of whole lines.</summary>
    /// <exception cref="Grpc.Core.RpcException">As the gates say, before the first chunk.</exception>
    public async IAsyncEnumerable<HttpBody> ExportAsync(
        V1.ExportLivesRequest request, [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken cancellation)
    {
        var selection = CohortMapping.FromWire(request.Cohort ?? new V1.Cohort());
        await gate.WaitAsync(request.MinimumRevision, cancellation);
        var view = CohortMapping.View(selection);
        if (!view.IsStored && view.AsOfRecordTime is null)
            view = view with { AsOfRecordTime = await store.RecordTimes.NowAsync(cancellation) };
        await recordTime.WaitAsync(view.AsOfRecordTime, "cohort.", cancellation);

        using var file = new ExportedLives();
        var added = 0;
        await foreach (var stored in store.Lives.ReadAsync(selection, view, cancellation))
        {
            if (request.IncludedOnly && !stored.Life.Counts(selection.IncludeFlagged))
                continue;
            file.Add(LifeMapping.ToWire(stored, selection.IncludeFlagged));
            if (++added % LivesOfAChunk == 0)
                yield return Chunk(file);
        }

        // The header alone when there are no lives.
        if (added == 0 || added % LivesOfAChunk != 0)
            yield return Chunk(file);
    }

    private static HttpBody Chunk(ExportedLives file) =>
        new() { ContentType = ContentType, Data = UnsafeByteOperations.UnsafeWrap(file.Take()) };
}
