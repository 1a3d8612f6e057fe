using Reliability.Cli.Connections;
using Reliability.V1;

namespace Reliability.Cli.Posting;

/// <summary>
/// Posts a file in batches, a few at a time. What the service has is settled by event ids, so a post that was broken
/// off is gone on with by posting the file again.
/// </summary>
internal sealed class Poster(ModuleHistoryService.ModuleHistoryServiceClient history, bool validateOnly)
{
    private const int BatchSize = 500;
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
    public async Task PostAsync(IEnumerable<PostRow> rows, RefusalFile refusals, Action<long> advance, CancellationToken cancellation)
    {
        PostRow[]? last = null;
        IEnumerable<PostRow[]> AllButLast()
        {
            foreach (PostRow[] batch in Readable(rows, refusals).Chunk(BatchSize))
            {
                if (last is not null)
                    yield return last;
                last = batch;
            }
        }

        await Parallel.ForEachAsync(
            AllButLast(),
            new ParallelOptions { MaxDegreeOfParallelism = BatchesInFlight, CancellationToken = cancellation },
            async (batch, stop) => await PostBatchAsync(batch, refusals, advance, stop).ConfigureAwait(false)).ConfigureAwait(false);
        // The last batch goes alone, after the others, so that its revision stands for the whole file.
        if (last is not null)
            Revision = await PostBatchAsync(last, refusals, advance, cancellation).ConfigureAwait(false);
    }

    private IEnumerable<PostRow> Readable(IEnumerable<PostRow> rows, RefusalFile refusals)
    {
        foreach (PostRow row in rows)
        {
            if (row.Problems.Count == 0)
                yield return row;
            else
                Refuse(row, string.Join("; ", row.Problems), refusals);
        }
    }

    private async Task<string> PostBatchAsync(PostRow[] batch, RefusalFile refusals, Action<long> advance, CancellationToken cancellation)
    {
        RecordEventsRequest request = new() { ValidateOnly = validateOnly };
        request.Events.Add(batch.Select(row => row.Event));
        RecordEventsResponse response = await history.RecordEventsAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
        if (response.Results.Count != batch.Length)
            throw new Terminals.UsageException($"The service answered {response.Results.Count} of {batch.Length} events. Post the file again.");
        string revision = "";
        for (int i = 0; i < batch.Length; i++)
        {
            RecordEventResult result = response.Results[i];
            if (result.OutcomeCase == RecordEventResult.OutcomeOneofCase.Error)
            {
                Refuse(batch[i], RefusalText.Line(result.Error), refusals);
                continue;
            }
            lock (_lock)
            {
                Tally.Accept(result.Receipt?.Duplicate ?? false, result.Receipt?.UnresolvedReason ?? "");
            }
            if (result.Receipt is { Duplicate: false })
                revision = result.Receipt.Revision;
        }
        lock (_lock)
        {
            advance(batch[^1].Line);
        }
        return revision;
    }

    private void Refuse(PostRow row, string reason, RefusalFile refusals)
    {
        lock (_lock)
        {
            Tally.Refuse();
            refusals.Add(row, reason);
        }
    }
}
