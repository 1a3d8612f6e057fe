namespace Reliability.Service.Health;

/// <summary>Health for balancers and people: grpc.health.v1, /healthz/live and /healthz/ready.</summary>
internal static class ServiceHealth
{
    private const string Ready = "ready";

    public static void AddServiceHealth(this WebApplicationBuilder builder)
    {
        builder.Services.AddHealthChecks()
            .AddCheck<EngineHealth>("engine", tags: [Ready])
            .AddCheck<StoreHealthCheck>("store", tags: [Ready]);
        builder.Services
            .AddGrpcHealthChecks(health =>
            {
                // The server as a whole, and the services by name, are serving when everything they need is.
                health.Services.Map(string.Empty, check => check.Tags.Contains(Ready));
                foreach (var service in ServiceNames)
                    health.Services.Map(service, check => check.Tags.Contains(Ready));
            });
    }

    public static void MapServiceHealth(this WebApplication app)
    {
        app.MapGrpcHealthChecksService();
        // Live means that the process answers; what it leans on is the other question.
        app.MapHealthChecks("/healthz/live", new() { Predicate = _ => false });
        app.MapHealthChecks("/healthz/ready", new()
        {
            Predicate = check => check.Tags.Contains(Ready),
            ResponseWriter = WriteAsync,
        });
    }

    private static string[] ServiceNames =>
    [
        V1.LifeAnalysisService.Descriptor.FullName, V1.LifeForecastService.Descriptor.FullName,
        V1.ModuleCatalogService.Descriptor.FullName, V1.ModuleHistoryService.Descriptor.FullName,
    ];

    private static Task WriteAsync(HttpContext context, Microsoft.Extensions.Diagnostics.HealthChecks.HealthReport report) =>
        context.Response.WriteAsJsonAsync(
            new HealthAnswer(
                report.Status.ToString(),
                report.Entries.ToDictionary(entry => entry.Key, entry => entry.Value.Status.ToString()),
                report.Entries.Where(entry => entry.Value.Description is not null)
                    .ToDictionary(entry => entry.Key, entry => entry.Value.Description!)),
            context.RequestAborted);

    /// <summary>What /healthz/ready answers: the whole, its parts, and what is wrong with a part, without internals.</summary>
    private sealed record HealthAnswer(string Status, Dictionary<string, string> Checks, Dictionary<string, string> Problems);
}
