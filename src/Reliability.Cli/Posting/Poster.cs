using System.Runtime.CompilerServices;
using Reliability.Cli.Connections;
using Reliability.Contracts.Streaming;
using Reliability.Files;
using Reliability.Files.EventFiles;
using Reliability.V1;

namespace Reliability.Cli.Posting;

/// <summary>
/// Posts a file over a stream that goes on after a break. What the service has is settled by event ids, so a post that was
/// given up is gone on with by posting the file again.
/// </summary>
internal sealed class Poster(ModuleHistoryService.ModuleHistoryServiceClient history, TimeProvider time)
{
    private readonly Lock _lock = new();

    // One event of a row, and whether the row's last.
    private readonly record struct RowEvent(FileRow Row, ModuleEvent Event, bool EndsRow);

    /// <summary>What became of the rows so far.</summary>
    public PostTally Tally { get; } = new();

    /// <summary>
    /// The revision of the last row, which was posted when all others were recorded: whoever reads with it reads the file.
    /// Empty when the last row recorded nothing.
    /// </summary>
    public string Revision { get; private set; } = "";

    /// <summary>Posts all rows.</summary>
    /// <param name="rows">The rows.</param>
    /// <param name="refusals">Gets the refused ones.</param>
    /// <param name="advance">Told the line reached, in the order of answers.</param>
    /// <param name="cancellation">Stops it.</param>
    /// <exception cref="Grpc.Core.RpcException">
    /// The service cannot be reached, was away for too long, or refused a message as a whole.
    /// </exception>
    public async Task PostAsync(IAsyncEnumerable<FileRow> rows, RefusalFile refusals, Action<long> advance, CancellationToken cancellation)
    {
        using SemaphoreSlim settled = new(0);
        IAsyncEnumerable<RowEvent> events = EventsAsync(rows, refusals, settled, cancellation);
        IAsyncEnumerable<EventAnswer<RowEvent>> answers =
            new EventStreamClient(history).PostAsync(events, posted => posted.Event, cancellation);
        List<RecordEventResult> results = [];
        await foreach ((RowEvent posted, RecordEventResult result) in answers.ConfigureAwait(false))
        {
            results.Add(result);
            if (!posted.EndsRow)
                continue;
            Settle(posted.Row, results, refusals);
            advance(posted.Row.Line);
            Revision = results.FindLast(one => one.Receipt is { Duplicate: false })?.Receipt.Revision ?? "";
            results.Clear();
            settled.Release();
        }
    }

    /// <summary>The events of the rows. The last row comes when all others are settled: commits run side by side.</summary>
    private async IAsyncEnumerable<RowEvent> EventsAsync(
        IAsyncEnumerable<FileRow> rows, RefusalFile refusals, SemaphoreSlim settled, [EnumeratorCancellation] CancellationToken cancellation)
    {
        FileRow? last = null;
        long others = 0;
        await foreach (FileRow row in rows.WithCancellation(cancellation).ConfigureAwait(false))
        {
            if (row.Problems.Count > 0)
                Refuse(row, string.Join("; ", row.Problems), refusals);
            else if (row.Ignored is not null)
                Settled();
            if (row.Events.Count == 0)
                continue;
            Tally.CountInFuture(row.Events.Count(said => FutureTime.Is(said, time.GetUtcNow())));
            foreach (RowEvent posted in EventsOf(last))
                yield return posted;
            others += last is null ? 0 : 1;
            last = row;
        }
        for (; others > 0; others--)
            await settled.WaitAsync(cancellation).ConfigureAwait(false);
        foreach (RowEvent posted in EventsOf(last))
            yield return posted;
    }

    private static IEnumerable<RowEvent> EventsOf(FileRow? row) =>
        row?.Events.Select((said, i) => new RowEvent(row, said, EndsRow: i == row.Events.Count - 1)) ?? [];

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
            .. results.Index().Where(one => one.Item.OutcomeCase == RecordEventResult.OutcomeOneofCase.Error)
                .Select(one => RefusalText.Line(one.Item.Error, field => row.FieldName(one.Index, field))).Distinct(),
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
