using System.Net;
using System.Net.Sockets;

namespace Reliability.EndToEnd.Faults.Cuts;

/// <summary>One connection through the proxy, with the fate that was drawn for it.</summary>
internal sealed class ProxiedConnection(Socket caller, Plan plan) : IDisposable
{
    private const int BufferBytes = 16 * 1024;

    private readonly Socket _server = new(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
    private long _left = plan.AfterBytes;

    public Fate Fate => plan.Fate;

    /// <summary>Passes bytes on until one side ends or the fate is met.</summary>
    /// <returns>Whether the fate was met; false when a side ended before.</returns>
    public async Task<bool> RunAsync(int upstreamPort, CancellationToken cancellation)
    {
        using var ended = CancellationTokenSource.CreateLinkedTokenSource(cancellation);
        try
        {
            caller.NoDelay = true;
            await _server.ConnectAsync(new IPEndPoint(IPAddress.Loopback, upstreamPort), ended.Token);
            var one = PassAsync(caller, _server, ended.Token);
            var other = PassAsync(_server, caller, ended.Token);
            await Task.WhenAny(one, other);
            var met = Interlocked.Read(ref _left) <= 0;
            if (met)
                await Task.Delay(plan.SilentFor, ended.Token).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            await ended.CancelAsync();
            Dispose();
            await Task.WhenAll(one, other);
            return met;
        }
        catch (Exception exception) when (exception is SocketException or ObjectDisposedException or OperationCanceledException)
        {
            // The other side is not there, or the proxy ends.
            return false;
        }
        finally
        {
            Dispose();
        }
    }

    /// <summary>Ends both sides at once, without a farewell.</summary>
    public void Dispose()
    {
        foreach (var socket in new[] { caller, _server })
        {
            try
            {
                socket.LingerState = new LingerOption(true, 0);
            }
            catch (Exception exception) when (exception is SocketException or ObjectDisposedException)
            {
                // Closed already, or never open.
            }

            socket.Dispose();
        }
    }

    private async Task PassAsync(Socket from, Socket to, CancellationToken cancellation)
    {
        var buffer = new byte[Math.Min(BufferBytes, plan.PieceBytes)];
        try
        {
            while (true)
            {
                var got = await from.ReceiveAsync(buffer, cancellation);
                if (got == 0)
                    return;
                // The last piece is passed on in part: the cut falls in the middle of a message.
                var left = Interlocked.Add(ref _left, -got);
                var whole = left > 0 ? got : (int)Math.Max(0, got + left);
                if (plan.Delay > TimeSpan.Zero)
                    await Task.Delay(plan.Delay, cancellation);
                await SendAllAsync(to, buffer.AsMemory(0, whole), cancellation);
                if (left <= 0)
                    return;
            }
        }
        catch (Exception exception) when (exception is SocketException or ObjectDisposedException or OperationCanceledException)
        {
            // A side is gone.
        }
    }

    private static async Task SendAllAsync(Socket to, ReadOnlyMemory<byte> bytes, CancellationToken cancellation)
    {
        for (var sent = 0; sent < bytes.Length;)
            sent += await to.SendAsync(bytes[sent..], cancellation);
    }
}
