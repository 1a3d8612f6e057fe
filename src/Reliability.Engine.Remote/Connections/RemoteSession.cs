using System.Net.Sockets;
using Grpc.Core;
using Grpc.Net.Client;
using Reliability.PlugIn.V1;

namespace Reliability.Engine.Remote.Connections;

/// <summary>
/// One life of a plug-in: from when its process was started, or it was connected to, until it ended or was given up. Many threads call
/// through it, so many at once as are let; one thread supervises it and ends it.
/// </summary>
internal sealed class RemoteSession : IDisposable
{
    private const int LargestMessage = 4 << 20;

    // How long a broken connection waits for whoever supervises the process to say what became of it.
    private static readonly TimeSpan UntilToldWhy = TimeSpan.FromSeconds(1);

    private readonly GrpcChannel _channel;
    private readonly SemaphoreSlim _slots;
    private readonly CancellationTokenSource _ended = new();
    private readonly ManualResetEventSlim _condemned = new();
    private string? _reason;
    private volatile bool _hasAnswered, _isEndedByCaller;

    /// <param name="address">Where the plug-in listens.</param>
    /// <param name="concurrentCalls">Calls at one time.</param>
    public RemoteSession(Uri address, int concurrentCalls)
    {
        var handler = new SocketsHttpHandler { EnableMultipleHttp2Connections = false, UseProxy = false, ActivityHeadersPropagator = null };
        var target = address;
        if (address.Scheme == "unix")
        {
            var end = new UnixDomainSocketEndPoint(address.LocalPath);
            handler.ConnectCallback = async (_, cancellation) =>
            {
                var socket = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
                try
                {
                    await socket.ConnectAsync(end, cancellation).ConfigureAwait(false);
                    return new NetworkStream(socket, ownsSocket: true);
                }
                catch
                {
                    socket.Dispose();
                    throw;
                }
            };
            target = new Uri("http://plug-in");
        }

        _channel = GrpcChannel.ForAddress(target, new GrpcChannelOptions
        {
            HttpHandler = handler,
            DisposeHttpClient = true,
            MaxReceiveMessageSize = LargestMessage,
            MaxRetryAttempts = 1,
        });
        Client = new LifeModelPlugInService.LifeModelPlugInServiceClient(_channel);
        _slots = new SemaphoreSlim(concurrentCalls);
        Ended = _ended.Token;
    }

    public LifeModelPlugInService.LifeModelPlugInServiceClient Client { get; }

    /// <summary>Cancelled when the session has ended.</summary>
    public CancellationToken Ended { get; }

    /// <summary>Why it has ended or is to end; null while it is well.</summary>
    public string? Reason => Volatile.Read(ref _reason);

    /// <summary>Whether any call was answered.</summary>
    public bool HasAnswered
    {
        get => _hasAnswered;
        set => _hasAnswered = value;
    }

    /// <summary>Whether it was condemned because one caller's time was over, or that caller gave up.</summary>
    public bool IsEndedByCaller => _isEndedByCaller;

    /// <summary>Set when the session is to be ended.</summary>
    public WaitHandle Condemned => _condemned.WaitHandle;

    /// <summary>Waits for a place among the calls.</summary>
    /// <returns>False when the session ended before.</returns>
    /// <exception cref="OperationCanceledException">The caller gave up.</exception>
    public bool TryEnter(CancellationToken cancellation)
    {
        using var either = CancellationTokenSource.CreateLinkedTokenSource(cancellation, Ended);
        try
        {
            _slots.Wait(either.Token);
        }
        catch (OperationCanceledException) when (!cancellation.IsCancellationRequested)
        {
            return false;
        }

        if (Reason is null)
            return true;
        Leave();
        return false;
    }

    /// <summary>Gives the place back.</summary>
    public void Leave() => _slots.Release();

    /// <summary>Says that the session is to be ended; the first reason stands.</summary>
    /// <param name="reason">Why.</param>
    /// <param name="byCaller">Whether one caller's deadline or cancellation is the reason.</param>
    public void Condemn(string reason, bool byCaller = false)
    {
        if (Interlocked.CompareExchange(ref _reason, reason, null) is null)
            _isEndedByCaller = byCaller;
        _condemned.Set();
    }

    /// <summary>Lets those who wait know that the session has ended.</summary>
    public void End(string reason)
    {
        Condemn(reason);
        _ended.Cancel();
    }

    /// <summary>Why a call failed, in words for its caller; what the session cannot go on with condemns it.</summary>
    /// <param name="failure">What the call ended with.</param>
    /// <param name="deadline">The deadline it had.</param>
    public string Blame(RpcException failure, TimeSpan deadline)
    {
        if (failure.StatusCode == StatusCode.DeadlineExceeded)
        {
            Condemn(Reasons.OverDeadline(deadline), byCaller: true);
            return Reason!;
        }

        // A status that the plug-in sent itself has no exception behind it.
        if (failure.Status.DebugException is null && failure.StatusCode is not (StatusCode.Cancelled or StatusCode.Unavailable))
        {
            return failure.StatusCode switch
            {
                StatusCode.InvalidArgument => "it refused the question as one that breaks its contract",
                StatusCode.Unimplemented => "it does not serve what its description offers",
                StatusCode.ResourceExhausted => "its answer was larger than a message may be, or it had no room for the question",
                _ => $"it answered with the gRPC status {failure.StatusCode}",
            };
        }

        Ended.WaitHandle.WaitOne(Reason is null ? UntilToldWhy : UntilToldWhy / 2);
        Condemn(Reasons.NotGrpc);
        return Reason!;
    }

    public void Dispose() => _channel.Dispose();
}
