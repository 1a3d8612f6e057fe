using System.Collections.Concurrent;
using Microsoft.Extensions.Logging;
using Reliability.Store.Health;
using Reliability.Store.Lives;
using Reliability.Store.Posting;

namespace Reliability.Store;

/// <summary>
/// The store: an event log on PostgreSQL, the lives that follow from it, and, when no connection string is set, the
/// PostgreSQL itself. Start it once, before anything is asked of it.
/// </summary>
public sealed class ReliabilityStore : IAsyncDisposable
{
    /// <summary>The one organisation there is until access control tells several apart.</summary>
    public const string DefaultOrganisation = "default";

    private readonly ReliabilityStoreOptions _options;
    private readonly ILoggerFactory _logs;
    private readonly ConcurrentDictionary<string, OrganisationStore> _organisations = new(StringComparer.Ordinal);
    private RunningStore? _running;

    /// <summary>Makes a store that is not yet started.</summary>
    /// <param name="options">Where and how it keeps its data.</param>
    /// <param name="logs">Where it tells what it does.</param>
    public ReliabilityStore(ReliabilityStoreOptions options, ILoggerFactory logs) =>
        (_options, _logs) = (options, logs);

    /// <summary>What <see cref="DefaultOrganisation"/> has recorded.</summary>
    /// <exception cref="StoreUnavailableException">The store is not started.</exception>
    public OrganisationStore Default => For(DefaultOrganisation);

    private RunningStore Running => _running ?? throw new StoreUnavailableException("The store is not started.");

    /// <summary>What an organisation has recorded.</summary>
    /// <param name="organisation">Its id.</param>
    /// <exception cref="StoreUnavailableException">The store is not started.</exception>
    public OrganisationStore For(string organisation) => _organisations.GetOrAdd(
        organisation, static (id, running) => new OrganisationStore(id, running.Parts), Running);

    /// <summary>Starts PostgreSQL where it is the store's own, makes or updates the tables, and starts the projections.</summary>
    /// <param name="cancellation">Ends the start.</param>
    /// <exception cref="PrivateClusterException">The private PostgreSQL cannot be started; the message names the cure.</exception>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public async Task StartAsync(CancellationToken cancellation) =>
        _running ??= await RunningStore.StartAsync(_options, _logs, cancellation);

    /// <summary>
    /// Files all readings by module anew and derives all lives and module states from the log. Posts and answers go on
    /// meanwhile. Needed after a change of the rules of derivation; it gives the same rows when nothing has changed.
    /// </summary>
    /// <param name="cancellation">Ends the rebuild; what was rebuilt stays.</param>
    /// <returns>How many modules were derived.</returns>
    /// <exception cref="StoreUnavailableException">The store is not started, or the database does not answer.</exception>
    public Task<long> RebuildAsync(CancellationToken cancellation) =>
        new LivesRebuild(Running.Parts.Database, _logs.CreateLogger<ReliabilityStore>()).RunAsync(cancellation);

    /// <summary>
    /// Makes the table of posted ids anew from the log. Needed when it was lost or damaged; it gives the same rows when
    /// nothing was. Posts wait until it is done, answers do not.
    /// </summary>
    /// <param name="cancellation">Ends the rebuild; the table then is as it was.</param>
    /// <returns>How many ids are in the table.</returns>
    /// <exception cref="StoreUnavailableException">The store is not started, or the database does not answer.</exception>
    public Task<long> RebuildPostedIdsAsync(CancellationToken cancellation) =>
        new PostedIdsRebuild(Running.Parts.Database).RunAsync(cancellation);

    /// <summary>How the store is. Never throws for a database that does not answer.</summary>
    /// <param name="cancellation">Ends the check.</param>
    public Task<StoreHealth> CheckHealthAsync(CancellationToken cancellation) => _running is { } running
        ? HealthCheck.CheckAsync(running.Parts, cancellation)
        : Task.FromResult(new StoreHealth());

    /// <summary>
    /// Commits what was posted, stops the projections and, where it is the store's own, PostgreSQL.
    /// </summary>
    public async ValueTask DisposeAsync()
    {
        if (Interlocked.Exchange(ref _running, null) is { } running) await running.DisposeAsync();
    }
}
