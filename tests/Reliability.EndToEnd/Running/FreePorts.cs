using System.Net;
using System.Net.Sockets;

namespace Reliability.EndToEnd.Running;

/// <summary>Ports on loopback that nobody listens on.</summary>
internal static class FreePorts
{
    public static (int Grpc, int Http) Take()
    {
        using var one = Listening();
        using var other = Listening();
        return (Port(one), Port(other));
    }

    private static TcpListener Listening()
    {
        var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return listener;
    }

    private static int Port(TcpListener listener) => ((IPEndPoint)listener.LocalEndpoint).Port;
}
