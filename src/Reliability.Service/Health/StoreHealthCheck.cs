using System.Globalization;
using Microsoft.Extensions.Diagnostics.HealthChecks;
using Reliability.Store;
using Reliability.Store.Health;

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
        var idle = string.Join(' ', health.IdleTransactions.Select(Told));
        if (health.LivesStalled)
            return HealthCheckResult.Unhealthy($"Lives have fallen behind the record. {idle}".TrimEnd());
        // Answers are given, and posts taken where they need nothing that is held.
        if (idle.Length > 0)
            return HealthCheckResult.Degraded(idle);
        return HealthCheckResult.Healthy(health.OthersUnseen ? Unseen : null);
    }

    private const string Unseen =
        "Transactions that other users of the database leave open are not seen: grant the service's user pg_read_all_stats.";

    private static string Told(IdleTransaction idle) => string.Create(
        CultureInfo.InvariantCulture,
        $"Process {idle.ProcessId} of PostgreSQL (user {idle.User}, application \"{idle.Application}\") has held a transaction open for {idle.IdleFor.TotalSeconds:0} s without doing anything.");
}
