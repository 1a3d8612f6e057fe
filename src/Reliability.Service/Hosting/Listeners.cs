using System.Net;
using Microsoft.AspNetCore.Server.Kestrel.Core;

namespace Reliability.Service.Hosting;

/// <summary>Where the service listens: one address for gRPC, one for HTTP/JSON, both on loopback.</summary>
internal static class Listeners
{
    private const string GrpcKey = "Endpoints:Grpc", HttpKey = "Endpoints:Http";
    private const string GrpcDefault = "http://127.0.0.1:7080", HttpDefault = "http://127.0.0.1:7081";

    /// <summary>Configures Kestrel.</summary>
    /// <exception cref="StartupRefusedException">An address is malformed or not on loopback.</exception>
    public static void AddListeners(this WebApplicationBuilder builder)
    {
        var configuration = builder.Configuration;
        if (configuration.GetSection("Kestrel:Endpoints").GetChildren().Any())
        {
            throw new StartupRefusedException(
                $"Kestrel:Endpoints is not read here, so that no address escapes the loopback rule. Set {GrpcKey} and {HttpKey}.");
        }

        var grpc = Read(configuration, GrpcKey, GrpcDefault);
        var http = Read(configuration, HttpKey, HttpDefault);
        if (grpc.Port == http.Port && grpc.Port != 0)
            throw new StartupRefusedException($"{GrpcKey} and {HttpKey} must have different ports; both have {grpc.Port}.");

        builder.WebHost.UseKestrel(kestrel =>
        {
            kestrel.AddServerHeader = false;
            // The check of JSON bodies answers with a proper status at the same limit; this one only stops the stream.
            kestrel.Limits.MaxRequestBodySize = Limits.MaxMessageBytes + 1024L;
            // A caller whose machine or network has gone without a word is found out, and its streams end.
            kestrel.Limits.Http2.KeepAlivePingDelay = TimeSpan.FromSeconds(30);
            kestrel.Limits.Http2.KeepAlivePingTimeout = TimeSpan.FromSeconds(20);
            Listen(kestrel, grpc, HttpProtocols.Http2);
            Listen(kestrel, http, HttpProtocols.Http1);
        });

        // A page of another site could reach loopback by a name of its own; only our own names are answered.
        builder.Services.AddHostFiltering(filter => filter.AllowedHosts = ["localhost", "127.0.0.1", "[::1]"]);
    }

    private static void Listen(KestrelServerOptions kestrel, Uri address, HttpProtocols protocols)
    {
        if (address.Host == "localhost" && address.Port != 0)
            kestrel.ListenLocalhost(address.Port, listen => listen.Protocols = protocols);
        else
            kestrel.Listen(Ip(address) ?? IPAddress.Loopback, address.Port, listen => listen.Protocols = protocols);
    }

    private static Uri Read(ConfigurationManager configuration, string key, string fallback)
    {
        var text = configuration[key] is { Length: > 0 } given ? given : fallback;
        if (!Uri.TryCreate(text, UriKind.Absolute, out var address) || address.Scheme != Uri.UriSchemeHttp
            || address.AbsolutePath != "/" || address.Query.Length > 0)
        {
            throw new StartupRefusedException($"{key} must be an address such as {fallback}; got \"{text}\".");
        }

        if (address.Host != "localhost" && !(Ip(address) is { } ip && IPAddress.IsLoopback(ip)))
        {
            throw new StartupRefusedException(
                $"{key} is \"{text}\", which others can reach. The service has no access control yet and answers on loopback "
                + $"only: use 127.0.0.1, [::1] or localhost, such as {fallback}.");
        }

        return address;
    }

    private static IPAddress? Ip(Uri address) =>
        IPAddress.TryParse(address.Host.Trim('[', ']'), out var ip) ? ip : null;
}
