using System.Net.Sockets;
using System.Security.Cryptography;
using Microsoft.AspNetCore.Server.Kestrel.Core;
using Reliability.PlugIns.Hostile;

// A plug-in that does wrong in one way: "hostile ID VICE". Its family is a Gompertz, right until the vice shows.
var (id, vice) = (args[0], args[1]);
var path = Environment.GetEnvironmentVariable("RELIABILITY_PLUGIN_SOCKET")!;
switch (vice)
{
    case "exits-at-once":
        return 3;
    case "never-listens":
        Thread.Sleep(Timeout.Infinite);
        return 0;
    case "sends-garbage":
        SendGarbage(path);
        return 0;
    case "floods":
        _ = Task.Run(Flood);
        break;
    case "starts-a-child":
        // Which outlives its parent unless the group is ended.
        System.Diagnostics.Process.Start("sleep", "600");
        break;
    case "starts-a-group":
        // Of its own, in the same session: job control of a shell does it.
        System.Diagnostics.Process.Start("/bin/bash", ["-c", "set -m; sleep 600 & wait"]);
        break;
}

var builder = WebApplication.CreateSlimBuilder();
builder.Logging.ClearProviders();
builder.Services.AddGrpc(grpc => grpc.MaxReceiveMessageSize = 2 << 20);
builder.Services.AddSingleton(new Vice(id, vice));
builder.WebHost.ConfigureKestrel(kestrel => kestrel.ListenUnixSocket(path, listen => listen.Protocols = HttpProtocols.Http2));
var app = builder.Build();
app.MapGrpcService<HostileService>();
await app.RunAsync();
return 0;

static void SendGarbage(string path)
{
    using var listener = new Socket(AddressFamily.Unix, SocketType.Stream, ProtocolType.Unspecified);
    listener.Bind(new UnixDomainSocketEndPoint(path));
    listener.Listen();
    while (true)
    {
        using var caller = listener.Accept();
        try
        {
            for (var i = 0; i < 64; i++)
                caller.Send(RandomNumberGenerator.GetBytes(4096));
        }
        catch (SocketException)
        {
            // It hung up.
        }
    }
}

static void Flood()
{
    var line = new string('x', 4000);
    while (true)
        Console.Error.WriteLine("1234.5 h " + line);
}
