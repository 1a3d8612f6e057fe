using Reliability.Analysis;
using Reliability.Engine.PlugIns;
using Reliability.Service.PlugIns;
using Reliability.Service.Work;

namespace Reliability.Service.Endpoints;

/// <summary>The engine, the questions asked of it, and the lanes the work runs on.</summary>
internal static partial class AnalysisSetup
{
    private const string DirectoryKey = "Engine:PluginDirectory", AllowedKey = "Engine:AllowedPlugIns";

    public static void AddAnalysis(this WebApplicationBuilder builder)
    {
        builder.Services.AddSingleton(services => LoadPlugIns(
            builder.Configuration, services.GetRequiredService<ILoggerFactory>().CreateLogger("Reliability.Service.PlugIns")));
        builder.AddRemotePlugIns();
        builder.Services.AddSingleton<FitLives>();
        builder.Services.AddSingleton<AssessLifeModels>();
        builder.Services.AddSingleton<EstimateSurvival>();
        builder.Services.AddSingleton<EstimateReplacements>();
        builder.Services.AddSingleton<CompareCohorts>();
        builder.Services.AddSingleton<AnalysisLanes>();
    }

    private static PlugInCatalog LoadPlugIns(ConfigurationManager configuration, ILogger logger)
    {
        var directory = configuration[DirectoryKey] is { Length: > 0 } configured
            ? Path.GetFullPath(configured, AppContext.BaseDirectory)
            : Path.Combine(AppContext.BaseDirectory, "plugins");
        if (configuration[DirectoryKey] is { Length: > 0 } && !Directory.Exists(directory))
            LogNoDirectory(logger, directory);
        var allowed = configuration.GetSection(AllowedKey).GetChildren().ToDictionary(entry => entry.Key, entry => entry.Value ?? string.Empty);
        var (offered, notLoaded) = PlugInDirectory.Load(directory, allowed);
        var catalog = PlugInCatalog.Of(offered, notLoaded);
        foreach (var plugIn in catalog.PlugIns)
        {
            var models = catalog.Models.Models.Where(m => m.Description.PlugIn?.Id == plugIn.Id).Select(m => m.Description.Id);
            LogPlugIn(logger, plugIn.Id, plugIn.Version, plugIn.Publisher, plugIn.Hash, string.Join(", ", models));
        }

        foreach (var refused in catalog.Refused)
            LogRefused(logger, refused.Cause, refused.Place, refused.Reason);
        return catalog;
    }

    [LoggerMessage(1, LogLevel.Information, "Life models of {PlugIn} {Version} by {Publisher} {Hash}: {Models}.")]
    private static partial void LogPlugIn(ILogger logger, string plugIn, string version, string publisher, string hash, string models);

    [LoggerMessage(2, LogLevel.Warning, "The plug-in {Place} is not used. {Reason}")]
    private static partial void LogRefused(ILogger logger, Exception? cause, string place, string reason);

    [LoggerMessage(3, LogLevel.Warning, "There is no directory of plug-ins {Directory}.")]
    private static partial void LogNoDirectory(ILogger logger, string directory);
}
