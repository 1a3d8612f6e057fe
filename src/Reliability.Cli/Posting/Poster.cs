using System.Runtime.CompilerServices;
using Reliability.Cli.Connections;
using Reliability.Files;
using Reliability.Files.EventFiles;
using Reliability.V1;

namespace Reliability.Cli.Posting;

/// <summary>
/// Posts a file in batches, a few at a time. What the service has is settled by event ids, so a post that was broken
/// off is gone on with by posting the file again.
/// </summary>
internal sealed class Poster(ModuleHistoryService.ModuleHistoryServiceClient history, TimeProvider time)
{
    private const int BatchEvents = 500;
    private const int BatchesInFlight = 4;

    private readonly Lock _lock = new();

    /// <summary>What became of the rows so far.</summary>
    public PostTally Tally { get; } = new();

    /// <summary>
    /// The revision of an event that was recorded after all before the last batch: whoever reads with it reads the file.
    /// Empty when the last batch recorded nothing.
    /// </summary>
    public string Revision { get; private set; } = "";

    /// <summary>Posts all rows.</summary>
    /// <param name="rows">The rows.</param>
    /// <param name="refusals">Gets the refused ones.</param>
    /// <param name="advance">Told the line reached, in the order of answers.</param>
    /// <param name="cancellation">Stops between batches.</param>
    /// <exception cref="Grpc.Core.RpcException">The service cannot be reached, or refused a batch as a whole.</exception>
    public async Task PostAsync(IAsyncEnumerable<FileRow> rows, RefusalFile refusals, Action<long> advance, CancellationToken cancellation)
    {
        List<FileRow>? last = null;
        async IAsyncEnumerable<List<FileRow>> AllButLast([EnumeratorCancellation] CancellationToken stop = default)
        {
            await foreach (List<FileRow> batch in Batches(rows, refusals, stop).ConfigureAwait(false))
            {
                if (last is not null)
                    yield return last;
                last = batch;
            }
        }

        await Parallel.ForEachAsync(
            AllButLast(cancellation),
            new ParallelOptions { MaxDegreeOfParallelism = BatchesInFlight, CancellationToken = cancellation },
            async (batch, stop) => await PostBatchAsync(batch, refusals, advance, stop).ConfigureAwait(false)).ConfigureAwait(false);
        // The last batch goes alone, after the others, so that its revision stands for the whole file.
        if (last is not null)
            Revision = await PostBatchAsync(last, refusals, advance, cancellation).ConfigureAwait(false);
    }

    /// <summary>Rows to post, so many together; the events of a row are never parted.</summary>
    private async IAsyncEnumerable<List<FileRow>> Batches(
        IAsyncEnumerable<FileRow> rows, RefusalFile refusals, [EnumeratorCancellation] CancellationToken cancellation)
    {
        List<FileRow> batch = [];
        int events = 0;
        await foreach (FileRow row in rows.WithCancellation(cancellation).ConfigureAwait(false))
        {
            if (row.Problems.Count > 0)
                Refuse(row, string.Join("; ", row.Problems), refusals);
            else if (row.Ignored is not null)
                Settled();
            if (row.Events.Count == 0)
                continue;
            Tally.CountInFuture(row.Events.Count(said => FutureTime.Is(said, time.GetUtcNow())));
            batch.Add(row);
            events += row.Events.Count;
            if (events < BatchEvents)
                continue;
            yield return batch;
            (batch, events) = ([], 0);
        }
        if (batch.Count > 0)
            yield return batch;
    }

    private async Task<string> PostBatchAsync(List<FileRow> batch, RefusalFile refusals, Action<long> advance, CancellationToken cancellation)
    {
        RecordEventsRequest request = new();
        request.Events.Add(batch.SelectMany(row => row.Events));
        RecordEventsResponse response = await history.RecordEventsAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
        if (response.Results.Count != request.Events.Count)
            throw new Terminals.UsageException($"The service answered {response.Results.Count} of {request.Events.Count} events. Post the file again.");
        string revision = "";
        int answered = 0;
        foreach (FileRow row in batch)
        {
            List<RecordEventResult> results = [.. response.Results.Skip(answered).Take(row.Events.Count)];
            answered += row.Events.Count;
            Settle(row, results, refusals);
            revision = results.FindLast(result => result.Receipt is { Duplicate: false })?.Receipt.Revision ?? revision;
        }
        lock (_lock)
        {
            advance(batch[^1].Line);
        }
        return revision;
    }

    /// <summary>Counts what was accepted of a row; a row of which something was refused is written once.</summary>
    private void Settle(FileRow row, List<RecordEventResult> results, RefusalFile refusals)
    {
        foreach (Receipt? receipt in results.Where(result => result.OutcomeCase != RecordEventResult.OutcomeOneofCase.Error).Select(result => result.Receipt))
        {
            lock (_lock)
            {
                Tally.Accept(receipt?.Duplicate ?? false, receipt?.UnresolvedReason ?? "");
            }
        }
        List<string> reasons =
        [
            .. results.Where(result => result.OutcomeCase == RecordEventResult.OutcomeOneofCase.Error)
                .Select(result => RefusalText.Line(result.Error)).Distinct(),
        ];
        if (reasons.Count > 0)
            Refuse(row, string.Join("; ", reasons), refusals);
        else
            Settled();
    }

    private void Settled()
    {
        lock (_lock)
        {
            Tally.Settle(refused: false);
        }
    }

    private void Refuse(FileRow row, string reason, RefusalFile refusals)
    {
        lock (_lock)
        {
            Tally.Settle(refused: true);
            refusals.Add(row, reason);
        }
    }
}
