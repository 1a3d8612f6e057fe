using Microsoft.Extensions.Diagnostics.HealthChecks;
using Reliability.Store;

namespace Reliability.Service.Health;

/// <summary>The store serves when its database answers; its lives serve when they keep up with the log.</summary>
internal sealed class StoreHealthCheck(ReliabilityStore store) : IHealthCheck
{
    public async Task<HealthCheckResult> CheckHealthAsync(
        HealthCheckContext context, CancellationToken cancellationToken = default)
    {
        var health = await store.CheckHealthAsync(cancellationToken);
        if (health.StorageFull)
            return HealthCheckResult.Unhealthy("The database has no space left and takes no posts.");
        if (!health.Ready)
            return HealthCheckResult.Unhealthy("The database does not answer.");
        return health.LivesStalled
            ? HealthCheckResult.Unhealthy("Lives have fallen behind the record.")
            : HealthCheckResult.Healthy();
    }
}
