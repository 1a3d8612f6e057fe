using Reliability.Engine.Abstractions;
using Reliability.Engine.PlugIns;

namespace Reliability.Service.PlugIns;

/// <summary>Remote plug-ins in the service.</summary>
internal static class RemotePlugInSetup
{
    /// <summary>Adds the catalogue of life models: what was loaded, and what remote plug-ins bring as they come.</summary>
    /// <exception cref="Hosting.StartupRefusedException">Their configuration is wrong.</exception>
    public static void AddRemotePlugIns(this WebApplicationBuilder builder)
    {
        var settings = RemotePlugInConfiguration.Read(builder.Configuration);
        builder.Services.AddSingleton(services => new LifeModels(
            services.GetRequiredService<PlugInCatalog>(), settings, services.GetRequiredService<ILoggerFactory>()));
        builder.Services.AddSingleton<ILifeModelCatalog>(services => services.GetRequiredService<LifeModels>());
        builder.Services.AddHostedService(services => services.GetRequiredService<LifeModels>());
        if (settings.Count > 0)
            builder.Services.AddHealthChecks().AddCheck<RemotePlugInHealth>("plug-ins", tags: ["ready"]);
    }
}
