using System.Diagnostics;
using Marten;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Npgsql;
using Reliability.Store.Health;
using Reliability.Store.Lives;
using Reliability.Store.PostgresInstance;
using Reliability.Store.Posting;
using Reliability.Store.Schema;

namespace Reliability.Store;

/// <summary>
/// A store while it runs. Marten lives in a service container of its own, made once the database is there, so that
/// nothing outside the store ever sees it.
/// </summary>
internal sealed class RunningStore : IAsyncDisposable
{
    private static readonly TimeSpan StartPause = TimeSpan.FromMilliseconds(500);

    private readonly PrivateCluster? _cluster;
    private readonly NpgsqlDataSource _source;
    private readonly ServiceProvider _marten;
    private readonly DaemonLogs _daemonLogs;
    private readonly IReadOnlyList<IHostedService> _projections;

    private RunningStore(
        PrivateCluster? cluster, NpgsqlDataSource source, ServiceProvider marten, DaemonLogs daemonLogs,
        IReadOnlyList<IHostedService> projections, StoreParts parts)
    {
        (_cluster, _source, _marten, _daemonLogs, _projections, Parts) = (cluster, source, marten, daemonLogs, projections, parts);
    }

    public StoreParts Parts { get; }

    public static async Task<RunningStore> StartAsync(
        ReliabilityStoreOptions options, ILoggerFactory logs, CancellationToken cancellation)
    {
        var log = logs.CreateLogger<ReliabilityStore>();
        var cluster = string.IsNullOrWhiteSpace(options.ConnectionString)
            ? await PrivateCluster.StartAsync(options.DataDirectory, log, cancellation)
            : null;
        var daemonLogs = new DaemonLogs(logs);
        NpgsqlDataSource? source = null;
        ServiceProvider? marten = null;
        try
        {
            var builder = new NpgsqlDataSourceBuilder(
                Database.Suited(cluster?.ConnectionString ?? options.ConnectionString!));
            builder.UseLoggerFactory(logs);
            source = builder.Build();
            var database = new Database(source, options.Schema);
            var pace = new LivesPace(database);
            marten = MartenSetup.Build(options, database, pace, daemonLogs);
            var documents = marten.GetRequiredService<IDocumentStore>();
            await WhenTheDatabaseAnswersAsync(
                () => BringTablesUpToDateAsync(database, documents, cancellation), options.StartPatience, log, cancellation);
            var projections = options.RunProjections ? marten.GetServices<IHostedService>().ToList() : [];
            foreach (var service in projections) await service.StartAsync(cancellation);
            var idle = await IdleTransactions.StartAsync(database, options.IdleTransactionLimit, log, cancellation);
            var unresolved = new UnresolvedCheck(database);
            var writer = new EventWriter(
                underWay => new WindowCommit(database, documents, unresolved.Beside(underWay)), options, log);
            return new RunningStore(
                cluster, source, marten, daemonLogs, projections, new StoreParts(database, documents, writer, pace, idle));
        }
        catch
        {
            daemonLogs.Stopping();
            if (marten is not null) await marten.DisposeAsync();
            if (source is not null) await source.DisposeAsync();
            if (cluster is not null) await cluster.DisposeAsync();
            throw;
        }
    }

    /// <summary>
    /// Machines start their services in any order, and a database that was killed recovers first: what passes by itself is
    /// waited for.
    /// </summary>
    private static async Task WhenTheDatabaseAnswersAsync(
        Func<Task> work, TimeSpan patience, ILogger log, CancellationToken cancellation)
    {
        var started = Stopwatch.GetTimestamp();
        while (true)
        {
            try
            {
                await work();
                return;
            }
            catch (StoreUnavailableException exception) when (
                Failure.IsPassing(exception) && Stopwatch.GetElapsedTime(started) < patience)
            {
                log.LogWarning("Waiting for the database: {Reason}", exception.InnerException?.Message);
                await Task.Delay(StartPause, cancellation);
            }
        }
    }

    /// <summary>Makes or changes tables, one process at a time: several that did it at once would fail.</summary>
    private static async Task BringTablesUpToDateAsync(
        Database database, IDocumentStore documents, CancellationToken cancellation)
    {
        try
        {
            await using var turn = await SessionTurn.TakeAsync(database, "tables", cancellation);
            var earlier = new EarlierTables(database);
            await earlier.PutAsideAsync(cancellation);
            await documents.Storage.ApplyAllConfiguredChangesToDatabaseAsync();
            await earlier.FillAsync(cancellation);
        }
        // Marten wraps what the database says while it makes its tables.
        catch (Exception exception) when ((exception as NpgsqlException ?? exception.InnerException) is NpgsqlException said)
        {
            throw new StoreUnavailableException(
                $"The database that ConnectionStrings:Reliability names cannot be used: {said.Message}", exception);
        }
    }

    public async ValueTask DisposeAsync()
    {
        await Parts.Writer.DisposeAsync();
        await Parts.IdleTransactions.DisposeAsync();
        _daemonLogs.Stopping();
        foreach (var service in _projections.Reverse()) await service.StopAsync(CancellationToken.None);
        await _marten.DisposeAsync();
        await _source.DisposeAsync();
        if (_cluster is not null) await _cluster.DisposeAsync();
    }
}
