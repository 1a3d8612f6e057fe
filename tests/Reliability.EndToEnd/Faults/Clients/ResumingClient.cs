using System.Collections.Concurrent;
using System.Diagnostics;
using System.Threading.Channels;
using Google.Rpc;
using Grpc.Core;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults.Clients;

/// <summary>
/// A client as an integrator should write it: it sends without waiting for answers, notes each receipt, and after a break
/// sends again from the first event that has none.
/// </summary>
/// <param name="open">Opens a line to a service; asked again after each break.</param>
/// <param name="receipts">Takes the receipts.</param>
/// <param name="longestSilence">How long events may go unanswered, breaks included, before that is a hang.</param>
internal sealed class ResumingClient(Func<IPostLine> open, Receipts receipts, TimeSpan longestSilence)
{
    private const int LargestRepeat = 100;

    private static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(20), Look = TimeSpan.FromMilliseconds(200);

    private readonly Channel<ModuleEvent[]> _given = Channel.CreateUnbounded<ModuleEvent[]>();
    private readonly ConcurrentQueue<ModuleEvent> _unanswered = [];
    private long _sent;
    private long _answered;
    private long _lastAnswer;
    private volatile bool _completed;

    /// <summary>How many events are sent on the present line and not answered.</summary>
    public long InFlight => Math.Max(0, Interlocked.Read(ref _sent) - Interlocked.Read(ref _answered));

    /// <summary>How many events have been given to it and have no receipt, those not yet sent left out.</summary>
    public int Unanswered => _unanswered.Count;

    /// <summary>How often the client went on over another line after a break, and was answered there.</summary>
    public int Resumes { get; private set; }

    /// <summary>How lines broke or could not be had, and how often.</summary>
    public ConcurrentDictionary<string, int> Breaks { get; } = [];

    /// <summary>Gives it events to post after those it has.</summary>
    public void Give(ModuleEvent[] message) => _given.Writer.TryWrite(message);

    /// <summary>Tells it that no more events come.</summary>
    public void Finish() => _given.Writer.TryComplete();

    /// <summary>Posts until <see cref="Finish"/> was called and every event given has its receipt.</summary>
    /// <exception cref="TimeoutException">Events went unanswered for too long.</exception>
    public async Task RunAsync(CancellationToken cancellation)
    {
        Interlocked.Exchange(ref _lastAnswer, Stopwatch.GetTimestamp());
        while (true)
        {
            using var ending = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
            await using var line = open();
            Interlocked.Exchange(ref _sent, 0);
            Interlocked.Exchange(ref _answered, 0);
            _completed = false;
            // A sender may wait for credit that a dead reader never gives, so whichever fails ends the others.
            Task[] work =
            [
                EndingOthers(ReadAsync(line, ending.Token), ending),
                EndingOthers(SendAsync(line, ending.Token), ending),
            ];
            var watching = EndingOthers(WatchAsync(ending.Token), ending);
            var all = Task.WhenAll(work);
            await all.ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            await ending.CancelAsync();
            await watching;
            cancellation.ThrowIfCancellationRequested();
            if (all.IsCompletedSuccessfully && _unanswered.IsEmpty)
                return;
            Note(all.Exception);
            await Task.Delay(Pause, cancellation);
        }
    }

    private static async Task EndingOthers(Task work, CancellationTokenSource ending)
    {
        try
        {
            await work;
        }
        catch
        {
            await ending.CancelAsync();
            throw;
        }
    }

    private async Task SendAsync(IPostLine line, CancellationToken cancellation)
    {
        foreach (var again in _unanswered.ToArray().Chunk(LargestRepeat))
            await SendAsync(line, again, cancellation);
        await foreach (var message in _given.Reader.ReadAllAsync(cancellation))
        {
            foreach (var posted in message)
                _unanswered.Enqueue(posted);
            await SendAsync(line, message, cancellation);
        }

        _completed = true;
        await line.CompleteAsync();
    }

    private async Task SendAsync(IPostLine line, ModuleEvent[] message, CancellationToken cancellation)
    {
        await line.SendAsync(message, cancellation);
        Interlocked.Add(ref _sent, message.Length);
    }

    private async Task ReadAsync(IPostLine line, CancellationToken cancellation)
    {
        await foreach (var result in line.AnswersAsync(cancellation))
        {
            if (!_unanswered.TryPeek(out var expected) || expected.EventId != result.EventId)
                throw new InvalidDataException($"The answer to {expected?.EventId} was due, that to {result.EventId} came.");
            receipts.Note(result);
            _unanswered.TryDequeue(out _);
            if (Interlocked.Read(ref _answered) == 0 && !Breaks.IsEmpty)
                Resumes++;
            Interlocked.Increment(ref _answered);
            Interlocked.Exchange(ref _lastAnswer, Stopwatch.GetTimestamp());
        }

        if (!_completed || !_unanswered.IsEmpty)
            throw new EndOfStreamException();
    }

    /// <summary>Fails when events go unanswered for too long, however often the line breaks meanwhile.</summary>
    private async Task WatchAsync(CancellationToken ended)
    {
        while (!ended.IsCancellationRequested)
        {
            if (_unanswered.IsEmpty)
                Interlocked.Exchange(ref _lastAnswer, Stopwatch.GetTimestamp());
            if (Stopwatch.GetElapsedTime(Interlocked.Read(ref _lastAnswer)) > longestSilence)
                throw new TimeoutException($"{_unanswered.Count} events have waited for an answer for {longestSilence}.");
            await Task.Delay(Look, ended).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
        }
    }

    private void Note(AggregateException? failure)
    {
        var cause = failure?.InnerExceptions.FirstOrDefault(inner => inner is not OperationCanceledException);
        if (cause is InvalidDataException)
            throw cause;
        var told = cause switch
        {
            // A connection that cannot be had or breaks is told by the client itself, without a reason of the service.
            RpcException rpc => $"{rpc.StatusCode} {rpc.GetRpcStatus()?.GetDetail<ErrorInfo>()?.Reason}".TrimEnd(),
            null => "ended early",
            _ => cause.GetType().Name,
        };
        Breaks.AddOrUpdate(told, 1, (_, count) => count + 1);
    }
}
