using Microsoft.Extensions.Diagnostics.HealthChecks;
using Reliability.Engine.Abstractions;

namespace Reliability.Service.Health;

/// <summary>The engine serves when its default model fits a small sample.</summary>
internal sealed class EngineHealth(ILifeModelCatalog catalog) : IHealthCheck
{
    private static readonly LifeSample Probe =
        new LifeSampleBuilder().AddFailed(100).AddFailed(200).AddFailed(300).AddSurvived(400).Build();

    public Task<HealthCheckResult> CheckHealthAsync(
        HealthCheckContext context, CancellationToken cancellationToken = default) =>
        Task.FromResult(
            catalog.Default.Fit(Probe, FitOptions.Default, cancellationToken).TryGet(out _, out _)
                ? HealthCheckResult.Healthy()
                : HealthCheckResult.Unhealthy("The default life model does not fit a plain sample."));
}
