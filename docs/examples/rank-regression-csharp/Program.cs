using Microsoft.AspNetCore.Server.Kestrel.Core;
using RankRegression;

// The service that starts this program says where to listen, and holds the other end of standard input while it lives.
var socket = Environment.GetEnvironmentVariable("RELIABILITY_PLUGIN_SOCKET")
    ?? throw new InvalidOperationException("Started by hand? RELIABILITY_PLUGIN_SOCKET says where to listen.");
var builder = WebApplication.CreateSlimBuilder();
builder.Logging.ClearProviders();
builder.Services.AddGrpc();
builder.WebHost.ConfigureKestrel(kestrel => kestrel.ListenUnixSocket(socket, listen => listen.Protocols = HttpProtocols.Http2));
var app = builder.Build();
app.MapGrpcService<PlugIn>();
_ = Task.Run(async () =>
{
    await Console.OpenStandardInput().CopyToAsync(Stream.Null);
    app.Lifetime.StopApplication();
});
await app.RunAsync();
