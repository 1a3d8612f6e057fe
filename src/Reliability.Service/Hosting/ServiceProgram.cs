using Microsoft.AspNetCore.Connections;
using Reliability.Engine.PlugIns;
using Reliability.Service.Endpoints;
using Reliability.Service.Errors;
using Reliability.Service.Health;
using Reliability.Service.Json;
using Reliability.Service.Maintenance;
using Reliability.Service.OpenApi;
using Reliability.Service.Telemetry;
using Reliability.Store;

namespace Reliability.Service.Hosting;

/// <summary>Puts the service together and runs it.</summary>
internal static class ServiceProgram
{
    private const int StartupRefused = 2;

    /// <summary>Runs until told to stop.</summary>
    /// <returns>Exit code: 0 after an orderly stop, 2 when the configuration does not let it start.</returns>
    public static async Task<int> RunAsync(string[] args)
    {
        try
        {
            await using var app = Build(args);
            // Started here and not by the host alone, so that what hinders it is told in its own words.
            await app.Services.GetRequiredService<ReliabilityStore>().StartAsync(CancellationToken.None);
            await app.RunAsync();
            return 0;
        }
        catch (IOException refusal) when (refusal.InnerException is AddressInUseException)
        {
            await Console.Error.WriteLineAsync("reliability service: " + refusal.Message + " Set Endpoints:Grpc and Endpoints:Http to others.");
            return StartupRefused;
        }
        catch (Exception refusal) when (refusal is StartupRefusedException or PrivateClusterException or StoreUnavailableException)
        {
            await Console.Error.WriteLineAsync("reliability service: " + refusal.Message);
            return StartupRefused;
        }
    }

    /// <summary>The whole service, not yet started.</summary>
    /// <param name="args">Command line.</param>
    /// <param name="adapt">Adds to the builder last; for tests.</param>
    public static WebApplication Build(string[] args, Action<WebApplicationBuilder>? adapt = null)
    {
        // Settings lie beside the program, wherever it is started from.
        var builder = WebApplication.CreateBuilder(
            new WebApplicationOptions { Args = args, ContentRootPath = AppContext.BaseDirectory });
        builder.Logging.AddFilter(UnreadableMessages.LogCategory, LogLevel.Critical);
        // What keeps the host from starting is told by RunAsync; a service of the host that breaks later is told as critical.
        builder.Logging.AddFilter("Microsoft.Extensions.Hosting.Internal.Host", LogLevel.Critical);
        builder.AddListeners();
        builder.AddStore();
        builder.AddRpc();
        builder.AddAnalysis();
        builder.AddServiceHealth();
        builder.Services.AddSingleton<RebuildEndpoint>();
        builder.AddTelemetry();
        builder.AddOpenApiDocument();
        adapt?.Invoke(builder);

        var app = builder.Build();
        // Here and not with the first question, so that what was refused stands in the log of the start.
        _ = app.Services.GetRequiredService<PlugInCatalog>();
        app.UseStatusAnswers();
        app.UseRouting();
        app.UseMiddleware<UnreadableMessages>();
        app.UseMiddleware<JsonRequestCheck>();
        app.MapRpc();
        app.MapServiceHealth();
        app.MapPost("/maintenance/rebuild", app.Services.GetRequiredService<RebuildEndpoint>().RunAsync);
        app.MapOpenApiDocument();
        return app;
    }
}
