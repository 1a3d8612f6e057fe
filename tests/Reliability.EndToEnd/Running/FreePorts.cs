using System.Net;
using System.Net.Sockets;

namespace Reliability.EndToEnd.Running;

/// <summary>
/// Ports on loopback that nobody listens on. They lie below those that systems take for connections going out, so that a service
/// that was killed finds its port free when it starts again, whatever runs beside; and none is given twice.
/// </summary>
internal static class FreePorts
{
    private const int First = 10_000, Count = 20_000, Apart = 100;

    // Two runs beside each other begin at different places.
    private static int _given = Environment.ProcessId % (Count / Apart) * Apart;

    public static (int Grpc, int Http) Take() => (Next(), Next());

    private static int Next()
    {
        for (var tried = 0; tried < Count; tried++)
        {
            var port = First + (int)((uint)Interlocked.Increment(ref _given) % Count);
            try
            {
                using var listener = new TcpListener(IPAddress.Loopback, port);
                listener.Start();
                return port;
            }
            catch (SocketException)
            {
                // Somebody listens there: the next one.
            }
        }

        throw new InvalidOperationException($"None of the ports from {First} on is free.");
    }
}
