using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace Reliability.Store;

/// <summary>Registers the store with a host.</summary>
public static class StoreServices
{
    /// <summary>
    /// Registers a <see cref="ReliabilityStore"/> that starts with the host, before what is registered after it, and
    /// stops with it.
    /// </summary>
    /// <param name="services">The host's services.</param>
    /// <param name="options">Where and how the store keeps its data.</param>
    public static IServiceCollection AddReliabilityStore(
        this IServiceCollection services, Func<IServiceProvider, ReliabilityStoreOptions> options)
    {
        services.AddSingleton(provider => new ReliabilityStore(
            options(provider), provider.GetRequiredService<ILoggerFactory>()));
        services.AddHostedService<StoreHost>();
        return services;
    }

    private sealed class StoreHost(ReliabilityStore store) : IHostedService
    {
        public Task StartAsync(CancellationToken cancellationToken) => store.StartAsync(cancellationToken);

        public async Task StopAsync(CancellationToken cancellationToken) => await store.DisposeAsync();
    }
}
