using System.Diagnostics.CodeAnalysis;
using Reliability.Engine.Abstractions;
using Reliability.Engine.PlugIns;
using Reliability.Engine.Remote;

namespace Reliability.Service.PlugIns;

/// <summary>
/// The life models on offer just now: those that are there from the start, and those of remote plug-ins as they come. A remote plug-in
/// that has been there keeps its models while it is down: asking them tells why.
/// </summary>
internal sealed partial class LifeModels : ILifeModelCatalog, IHostedService, IDisposable
{
    // Who asks right after the start should find what comes up quickly.
    private static readonly TimeSpan StartPatience = TimeSpan.FromSeconds(5), Look = TimeSpan.FromMilliseconds(20);

    private readonly PlugInCatalog _loaded;
    private readonly IReadOnlyList<RemotePlugIn> _remote;
    private readonly ILogger<LifeModels> _logger;
    private readonly Lock _changing = new();
    private PlugInCatalog _now;

    /// <param name="loaded">What is there from the start.</param>
    /// <param name="settings">How remote plug-ins are reached.</param>
    /// <param name="loggers">Told of them.</param>
    public LifeModels(PlugInCatalog loaded, IReadOnlyList<RemotePlugInSettings> settings, ILoggerFactory loggers)
    {
        (_loaded, _now) = (loaded, loaded);
        _logger = loggers.CreateLogger<LifeModels>();
        var logger = loggers.CreateLogger("Reliability.Service.PlugIns.Remote");
        _remote = [.. settings.Select(one => new RemotePlugIn(one, logger))];
        foreach (var plugIn in _remote)
            plugIn.ModelsChanged += (_, _) => TakeIn();
    }

    public IReadOnlyList<ILifeModel> Models => Now.Models.Models;

    public ILifeModel Default => Now.Models.Default;

    public INonparametricEstimator Nonparametric => Now.Models.Nonparametric;

    public string EngineVersion => Now.Models.EngineVersion;

    /// <summary>Plug-ins that are not used, and remote ones that do not answer just now, with the reasons.</summary>
    public IReadOnlyList<RefusedPlugIn> NotAvailable =>
    [
        .. Now.Refused,
        .. _remote.Select(plugIn => plugIn.Status).Where(status => !status.IsAvailable)
            .Select(status => new RefusedPlugIn(status.Id, Sentence(status.Reason!))),
    ];

    /// <summary>How the remote plug-ins stand.</summary>
    public IReadOnlyList<RemotePlugInStatus> Remote => [.. _remote.Select(plugIn => plugIn.Status)];

    private PlugInCatalog Now => Volatile.Read(ref _now);

    public bool TryGet(string id, [NotNullWhen(true)] out ILifeModel? model) => Now.Models.TryGet(id, out model);

    /// <summary>The plug-ins that a question goes to, in this process or another.</summary>
    /// <param name="lifeModels">Ids of the life models asked, an empty one for the default; none for all.</param>
    /// <returns>Ids of plug-ins, in an order that is always the same; none when the question goes to the models that ship alone.</returns>
    public IReadOnlyList<string> PlugInsAsked(IReadOnlyCollection<string> lifeModels) =>
    [
        .. Models.Where(model => lifeModels.Count == 0 || lifeModels.Contains(model.Description.Id))
            .Select(model => model.Description.PlugIn!.Id)
            .Where(plugIn => plugIn != Default.Description.PlugIn!.Id)
            .Distinct().Order(StringComparer.Ordinal),
    ];

    public async Task StartAsync(CancellationToken cancellationToken)
    {
        foreach (var plugIn in _remote)
            plugIn.Start();
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(cancellationToken);
        patience.CancelAfter(StartPatience);
        while (_remote.Any(plugIn => plugIn.Status is { IsAvailable: false, IsStarting: true }) && !patience.IsCancellationRequested)
            await Task.Delay(Look, CancellationToken.None);
    }

    public Task StopAsync(CancellationToken cancellationToken) => Task.Run(Dispose, CancellationToken.None);

    public void Dispose() => Parallel.ForEach(_remote, plugIn => plugIn.Dispose());

    private void TakeIn()
    {
        lock (_changing)
        {
            var next = _loaded.With(
                [.. _remote.Where(plugIn => plugIn.Version.Length > 0).Select(plugIn => new OfferedPlugIn(plugIn.Id, plugIn, string.Empty))]);
            foreach (var refused in next.Refused.ExceptBy(_now.Refused.Select(known => (known.Place, known.Reason)), one => (one.Place, one.Reason)))
                LogRefused(_logger, refused.Cause, refused.Place, refused.Reason);
            Volatile.Write(ref _now, next);
        }
    }

    private static string Sentence(string reason) => char.ToUpperInvariant(reason[0]) + reason[1..];

    [LoggerMessage(1, LogLevel.Warning, "The plug-in {Place} is not used. {Reason}")]
    private static partial void LogRefused(ILogger logger, Exception? cause, string place, string reason);
}
