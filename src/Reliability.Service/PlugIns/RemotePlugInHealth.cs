using Microsoft.Extensions.Diagnostics.HealthChecks;

namespace Reliability.Service.PlugIns;

/// <summary>Says which remote plug-ins do not answer. The service is ready without them: degraded at worst.</summary>
internal sealed class RemotePlugInHealth(LifeModels models) : IHealthCheck
{
    public Task<HealthCheckResult> CheckHealthAsync(HealthCheckContext context, CancellationToken cancellationToken = default)
    {
        var down = models.Remote.Where(status => !status.IsAvailable).Select(status => $"{status.Id}: {status.Reason}").ToList();
        return Task.FromResult(down.Count == 0 ? HealthCheckResult.Healthy() : HealthCheckResult.Degraded(string.Join(' ', down)));
    }
}
