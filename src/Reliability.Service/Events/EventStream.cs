using System.Threading.Channels;
using Google.Rpc;
using Grpc.Core;
using Reliability.Service.Errors;
using Reliability.Store.Posting;

namespace Reliability.Service.Events;

/// <summary>
/// One stream of a caller. One loop reads events and posts them, another answers as the commits come; a bounded queue of
/// posts under way joins them. A caller that does not read its answers fills the queue, and is then not read either: what
/// a stream holds does not grow. A caller that sends nothing holds nothing but its connection.
/// </summary>
internal sealed class EventStream(EventPosting posting, OpenStreams open)
{
    // Messages that are there already are posted together, up to so many events or bytes. A commit takes two such posts;
    // while it is under way the next ones gather.
    private const int FullPostEvents = 1_000, FullPostBytes = 1024 * 1024, PostsUnderWay = 8;

    private readonly record struct Post(EventBatch Batch, Task<IReadOnlyList<RecordOutcome>> Outcomes);

    /// <summary>Answers until the caller has ended its side and everything is answered.</summary>
    /// <exception cref="RpcException">
    /// A message breaks a limit, or the service is stopping. All that was posted before is answered first.
    /// </exception>
    public async Task RunAsync(
        IAsyncStreamReader<V1.StreamEventsRequest> requests, IServerStreamWriter<V1.StreamEventsResponse> responses,
        ServerCallContext context)
    {
        open.Add(context.GetHttpContext());
        var cancellation = context.CancellationToken;
        var underWay = Channel.CreateBounded<Post>(
            new BoundedChannelOptions(PostsUnderWay) { SingleReader = true, SingleWriter = true });
        using var over = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        var reading = ReadAsync(requests, underWay.Writer, over.Token);
        try
        {
            await AnswerAsync(underWay.Reader, responses, cancellation);
        }
        finally
        {
            // Where answering failed, nobody takes posts from the queue any more.
            await over.CancelAsync();
            await reading;
        }
    }

    // Never throws: how reading ended is told through the queue, behind the posts before it.
    private async Task ReadAsync(
        IAsyncStreamReader<V1.StreamEventsRequest> requests, ChannelWriter<Post> underWay, CancellationToken over)
    {
        try
        {
            using var stop = CancellationTokenSource.CreateLinkedTokenSource(over, open.Stopping);
            var refusal = await PostAllAsync(requests, underWay, stop.Token, over);
            underWay.Complete(refusal);
        }
        // A read that is cut short fails in one of several ways.
        catch (Exception) when (open.Stopping.IsCancellationRequested && !over.IsCancellationRequested)
        {
            underWay.Complete(Stopping());
        }
        catch (IOException)
        {
            // The caller reset the stream.
            underWay.Complete(Refusals.Status(Code.Cancelled, ErrorReasons.Cancelled, "The caller gave up.").ToRpcException());
        }
        catch (Exception exception)
        {
            underWay.Complete(exception);
        }
    }

    /// <summary>Posts all messages; returns why it stopped before the end, null at the end.</summary>
    private async Task<RpcException?> PostAllAsync(
        IAsyncStreamReader<V1.StreamEventsRequest> requests, ChannelWriter<Post> underWay, CancellationToken stop,
        CancellationToken over)
    {
        var batch = posting.NewBatch();
        var bytes = 0L;
        for (var next = requests.MoveNext(stop); await next;)
        {
            var events = requests.Current.Events;
            if (EventPosting.Problem(events.Count) is { } problem)
            {
                if (batch.Count > 0)
                    await PostAsync();
                return problem.ToStatus().ToRpcException();
            }

            batch.Add(events);
            bytes += requests.Current.CalculateSize();
            next = requests.MoveNext(stop);
            if (next.IsCompletedSuccessfully && batch.Count < FullPostEvents && bytes < FullPostBytes)
                continue;
            var outcomes = await PostAsync();
            // So large a post goes alone.
            if (bytes >= FullPostBytes)
                await outcomes.WaitAsync(over);
            (batch, bytes) = (posting.NewBatch(), 0);
            stop.ThrowIfCancellationRequested();
        }

        if (batch.Count > 0)
            await PostAsync();
        return null;

        async Task<Task<IReadOnlyList<RecordOutcome>>> PostAsync()
        {
            await underWay.WaitToWriteAsync(over);
            var outcomes = posting.RecordAsync(batch, over);
            await underWay.WriteAsync(new(batch, outcomes), over);
            return outcomes;
        }
    }

    private static async Task AnswerAsync(
        ChannelReader<Post> underWay, IServerStreamWriter<V1.StreamEventsResponse> responses, CancellationToken cancellation)
    {
        var answered = 0L;
        await foreach (var (batch, outcomes) in underWay.ReadAllAsync(cancellation))
        {
            var response = new V1.StreamEventsResponse { FirstIndex = answered };
            batch.Answer(await outcomes, response.Results);
            await responses.WriteAsync(response, cancellation);
            answered += batch.Count;
        }
    }

    private static RpcException Stopping() => Refusals.TryAgain(
        Code.Unavailable, ErrorReasons.Stopping, "The service is stopping. Send again from the first event without an answer.")
        .ToRpcException();
}
