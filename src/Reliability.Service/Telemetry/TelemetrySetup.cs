using Npgsql;
using OpenTelemetry;
using OpenTelemetry.Metrics;
using OpenTelemetry.Resources;
using OpenTelemetry.Trace;
using Reliability.Store;

namespace Reliability.Service.Telemetry;

/// <summary>OpenTelemetry through gRPC, Marten, Npgsql and our own work; exported only where a collector is configured.</summary>
internal static class TelemetrySetup
{
    private const string CollectorKey = "OTEL_EXPORTER_OTLP_ENDPOINT";

    public static void AddTelemetry(this WebApplicationBuilder builder)
    {
        var telemetry = builder.Services.AddOpenTelemetry()
            .ConfigureResource(resource => resource.AddService("reliability-service", serviceVersion: Version))
            .WithTracing(traces => traces
                .AddAspNetCoreInstrumentation()
                .AddSource("Marten", StoreTelemetry.Name, ServiceTelemetry.AnalysisName, ServiceTelemetry.ServiceName)
                .AddNpgsql())
            .WithMetrics(metrics => metrics
                .AddAspNetCoreInstrumentation()
                .AddMeter("Marten", "Npgsql", StoreTelemetry.Name, ServiceTelemetry.AnalysisName, ServiceTelemetry.ServiceName));
        if (!string.IsNullOrEmpty(builder.Configuration[CollectorKey]))
            telemetry.UseOtlpExporter();
    }

    private static string Version => typeof(TelemetrySetup).Assembly.GetName().Version?.ToString(3) ?? "unknown";
}
