using System.Globalization;
using Google.Rpc;
using Grpc.Core;
using Reliability.Service.Errors;

namespace Reliability.Service.Uploads;

/// <summary>
/// How long a sender of a file is waited for: a pause long, and no longer than the service runs. On gRPC senders that send
/// nothing would else hold all uploads, and the service's end, since gRPC lifts the rate at which the bytes of a request must
/// come. On HTTP that rate holds, and it is enough to ask between reads: one that is cut short there cannot be ended in order.
/// </summary>
/// <param name="longestPause">How long one read may take.</param>
/// <param name="stopping">Set when the service stops.</param>
internal sealed class SenderPatience(TimeSpan longestPause, CancellationToken stopping)
{
    /// <summary>Refuses to read on when the service stops.</summary>
    /// <exception cref="RpcException">UNAVAILABLE: it does.</exception>
    public void ThrowIfStopping()
    {
        if (stopping.IsCancellationRequested)
            throw Stopping();
    }

    /// <summary>Reads messages of the sender.</summary>
    /// <param name="read">Reads until something has come; it ends with the token that it is given.</param>
    /// <param name="cancellation">Ends it with the caller.</param>
    /// <exception cref="RpcException">DEADLINE_EXCEEDED: the pause was too long. UNAVAILABLE: the service stops.</exception>
    public async Task<bool> ReadAsync(Func<CancellationToken, Task<bool>> read, CancellationToken cancellation)
    {
        using var over = CancellationTokenSource.CreateLinkedTokenSource(cancellation, stopping);
        over.CancelAfter(longestPause);
        try
        {
            return await read(over.Token);
        }
        // A read that is cut short fails in one of several ways.
        catch (Exception) when (over.IsCancellationRequested && !cancellation.IsCancellationRequested)
        {
            throw stopping.IsCancellationRequested ? Stopping() : Stalled();
        }
    }

    private static RpcException Stopping() => Refusals.TryAgain(
        Code.Unavailable, ErrorReasons.Stopping, "The service is stopping. The rows that came whole are recorded; send the file again.")
        .ToRpcException();

    private RpcException Stalled() => Refusals.Status(
        Code.DeadlineExceeded,
        ErrorReasons.UploadStalled,
        string.Create(
            CultureInfo.InvariantCulture,
            $"Nothing of the file came for {longestPause.TotalSeconds:N0} s. The rows that came whole are recorded; send the file again."))
        .ToRpcException();
}
