using System.Globalization;
using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Logging;
using Npgsql;

namespace Reliability.Store.PostgresInstance;

/// <summary>
/// A PostgreSQL that the service makes, starts, watches and stops by itself, on its own data. One service owns it at a
/// time: a second one on the same data directory is told so. When the service dies without stopping it, PostgreSQL
/// runs on and the next service adopts it; when PostgreSQL dies, it is started again.
/// </summary>
internal sealed class PrivateCluster : IAsyncDisposable
{
    private static readonly TimeSpan WatchInterval = TimeSpan.FromSeconds(1);

    private readonly ClusterFolder _folder;
    private readonly ServerAccount _account;
    private readonly ServerPrograms _programs;
    private readonly FileStream _ownerLock;
    private readonly ILogger _log;
    private readonly CancellationTokenSource _stopping = new();
    private Task _watch = Task.CompletedTask;

    private PrivateCluster(
        ClusterFolder folder, ServerAccount account, ServerPrograms programs, FileStream ownerLock, ILogger log)
    {
        (_folder, _account, _programs, _ownerLock, _log) = (folder, account, programs, ownerLock, log);
    }

    /// <summary>Port on 127.0.0.1; it stays the same until the cluster is disposed.</summary>
    public int Port { get; private set; }

    /// <summary>Whether the server was found running, left there by a service that died.</summary>
    public bool Adopted { get; private set; }

    /// <summary>Process id of the server, 0 when it is down just now.</summary>
    public int ProcessId => RunningServer()?.ProcessId ?? 0;

    /// <summary>Connection string of the service's database.</summary>
    public string ConnectionString => ConnectionTo(ClusterSettings.Name, pooling: true);

    /// <summary>Makes the cluster when there is none, starts it or adopts the running one, and watches it.</summary>
    /// <param name="dataDirectory">Folder of the service's data; made when missing.</param>
    /// <param name="log">Where starts, adoptions and restarts are told.</param>
    /// <param name="cancellation">Ends the attempt.</param>
    /// <exception cref="PrivateClusterException">It cannot be started; the message names the cure.</exception>
    public static async Task<PrivateCluster> StartAsync(
        string dataDirectory, ILogger log, CancellationToken cancellation)
    {
        var folder = new ClusterFolder(Path.GetFullPath(dataDirectory));
        var ownerLock = TakeOwnership(folder);
        try
        {
            var account = ServerAccount.Choose();
            var versionFile = Path.Combine(folder.Data, "PG_VERSION");
            var version = File.Exists(versionFile)
                ? (await File.ReadAllTextAsync(versionFile, cancellation)).Trim()
                : null;
            var programs = await ServerPrograms.FindAsync(version, cancellation);
            var cluster = new PrivateCluster(folder, account, programs, ownerLock, log);
            var creation = new ClusterCreation(folder, account, programs);
            await creation.PrepareFolderAsync(cancellation);
            if (version is null)
            {
                log.LogInformation("Making a PostgreSQL cluster in {Folder}", folder.Data);
                await creation.InitialiseAsync(cancellation);
            }
            await cluster.StartOrAdoptAsync(cancellation);
            await cluster.EnsureDatabaseAsync(cancellation);
            cluster._watch = Task.Run(cluster.WatchAsync, CancellationToken.None);
            return cluster;
        }
        catch
        {
            await ownerLock.DisposeAsync();
            throw;
        }
    }

    /// <summary>Stops PostgreSQL cleanly and gives the data directory free.</summary>
    public async ValueTask DisposeAsync()
    {
        if (_stopping.IsCancellationRequested) return;
        await _stopping.CancelAsync();
        await _watch;
        if (RunningServer() is not null)
        {
            var (exitCode, output) = await ServerCommand.RunAsync(
                _account.Command(_programs.PgCtl, "stop", "-D", _folder.Data, "-m", "fast", "-w", "-t", "60"),
                CancellationToken.None);
            if (exitCode != 0) _log.LogWarning("PostgreSQL did not stop cleanly: {Output}", output);
        }
        await _ownerLock.DisposeAsync();
        _stopping.Dispose();
    }

    /// <summary>
    /// Gives the data directory free without stopping PostgreSQL: what the death of the service does. For tests.
    /// </summary>
    internal async Task AbandonAsync()
    {
        await _stopping.CancelAsync();
        await _watch;
        await _ownerLock.DisposeAsync();
    }

    private static FileStream TakeOwnership(ClusterFolder folder)
    {
        try
        {
            Directory.CreateDirectory(folder.DataDirectory);
            // Held open for the life of the process: the operating system lets go of it even after kill -9.
            return new FileStream(folder.OwnerLock, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
        }
        catch (UnauthorizedAccessException exception)
        {
            throw new PrivateClusterException(
                $"The data directory {folder.DataDirectory} cannot be written. Give it to the user of the service, or "
                + "set DataDirectory to another folder.", exception);
        }
        catch (IOException exception)
        {
            throw new PrivateClusterException(
                $"The data directory {folder.DataDirectory} is in use by another service, or cannot be opened. Stop "
                + "that service, set DataDirectory to another folder, or set ConnectionStrings:Reliability on both to "
                + "share one PostgreSQL.", exception);
        }
    }

    private async Task StartOrAdoptAsync(CancellationToken cancellation)
    {
        if (RunningServer() is { } running && await AdoptAsync(running, cancellation))
        {
            Adopted = true;
            _log.LogInformation("Adopted the running PostgreSQL, process {ProcessId}", running.ProcessId);
            return;
        }
        Port = ChoosePort();
        await StartAsync(cancellation);
    }

    /// <summary>Waits until the running server answers, or is gone.</summary>
    private async Task<bool> AdoptAsync((int ProcessId, int Port) running, CancellationToken cancellation)
    {
        Port = running.Port;
        var deadline = DateTime.UtcNow.AddSeconds(60);
        while (true)
        {
            try
            {
                await using var connection = new NpgsqlConnection(ConnectionTo("postgres", pooling: false));
                await connection.OpenAsync(cancellation);
                return true;
            }
            catch (NpgsqlException exception)
            {
                if (RunningServer() is null) return false;
                if (DateTime.UtcNow > deadline)
                    throw new PrivateClusterException(
                        $"A PostgreSQL server (process {running.ProcessId}) runs on {_folder.Data} but does not answer "
                        + $"on 127.0.0.1 port {running.Port}: {exception.Message} Stop that process, then start the "
                        + "service again.", exception);
                await Task.Delay(250, cancellation);
            }
        }
    }

    private async Task StartAsync(CancellationToken cancellation)
    {
        await WriteAsync(Path.Combine(_folder.Data, "postgresql.conf"), ClusterSettings.Server(Port), cancellation);
        await WriteAsync(Path.Combine(_folder.Data, "pg_hba.conf"), ClusterSettings.Access, cancellation);
        await WriteAsync(_folder.Port, Port.ToString(CultureInfo.InvariantCulture), cancellation);

        // Backends of a killed server hold its shared memory until they notice; that takes a moment.
        for (var attempt = 1; ; attempt++)
        {
            RemoveStalePidFile();
            File.Delete(_folder.StartLog);
            var (exitCode, output) = await ServerCommand.RunAsync(
                _account.Command(
                    _programs.PgCtl, "start", "-D", _folder.Data, "-l", _folder.StartLog, "-w", "-t", "600", "-s"),
                cancellation);
            if (exitCode == 0) break;
            var log = File.Exists(_folder.StartLog)
                ? (await File.ReadAllTextAsync(_folder.StartLog, cancellation)).Trim()
                : "";
            if (attempt == 20 || !log.Contains("shared memory block", StringComparison.Ordinal))
                throw new PrivateClusterException(
                    $"PostgreSQL does not start on {_folder.Data}: {output} {log} More is in "
                    + Path.Combine(_folder.Data, "log") + ".");
            await Task.Delay(500, cancellation);
        }
        _log.LogInformation("Started PostgreSQL, process {ProcessId}, on 127.0.0.1 port {Port}", ProcessId, Port);
    }

    /// <summary>
    /// Writes a file unless it says that already: on a full disk the server must be able to start again, and a file that was
    /// emptied first could not be filled.
    /// </summary>
    private static async Task WriteAsync(string path, string text, CancellationToken cancellation)
    {
        if (File.Exists(path) && await File.ReadAllTextAsync(path, cancellation) == text) return;
        await File.WriteAllTextAsync(path, text, cancellation);
    }

    private async Task EnsureDatabaseAsync(CancellationToken cancellation)
    {
        await using var connection = new NpgsqlConnection(ConnectionTo("postgres", pooling: false));
        await connection.OpenAsync(cancellation);
        await using var exists = new NpgsqlCommand("select 1 from pg_database where datname = $1", connection)
        {
            Parameters = { new NpgsqlParameter<string> { TypedValue = ClusterSettings.Name } },
        };
        if (await exists.ExecuteScalarAsync(cancellation) is not null) return;
        await using var create = new NpgsqlCommand($"create database {ClusterSettings.Name}", connection);
        await create.ExecuteNonQueryAsync(cancellation);
    }

    /// <summary>Starts PostgreSQL again whenever it has died.</summary>
    private async Task WatchAsync()
    {
        using var timer = new PeriodicTimer(WatchInterval);
        var failing = false;
        try
        {
            while (await timer.WaitForNextTickAsync(_stopping.Token))
            {
                if (RunningServer() is not null) continue;
                if (!failing) _log.LogWarning("PostgreSQL is down; starting it again");
                try
                {
                    await StartAsync(_stopping.Token);
                    failing = false;
                }
                // On a full disk it cannot be started for as long as the disk stays full.
                catch (Exception exception) when (exception is PrivateClusterException or IOException)
                {
                    // Once, and not every second.
                    if (!failing) _log.LogError("PostgreSQL cannot be started again: {Message}", exception.Message);
                    failing = true;
                }
            }
        }
        catch (OperationCanceledException)
        {
            // The cluster is being stopped.
        }
    }

    /// <summary>The server that runs on these data, by its pid file; null when there is none or its process is gone.</summary>
    private (int ProcessId, int Port)? RunningServer()
    {
        try
        {
            var lines = File.ReadAllLines(_folder.PidFile);
            return lines.Length >= 4
                && int.TryParse(lines[0], CultureInfo.InvariantCulture, out var processId)
                && int.TryParse(lines[3], CultureInfo.InvariantCulture, out var port)
                && ServerProcess.IsPostgres(processId)
                ? (processId, port)
                : null;
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }

    /// <summary>
    /// PostgreSQL refuses to start while the process of its old pid file seems alive. After a restart of a container
    /// the number may be any process's, and a killed server may be left as a zombie: neither is a server.
    /// </summary>
    private void RemoveStalePidFile()
    {
        if (!File.Exists(_folder.PidFile)) return;
        var firstLine = File.ReadLines(_folder.PidFile).FirstOrDefault();
        // An empty one was left by a server that was killed as it began: nobody else starts one on these data.
        if (!int.TryParse(firstLine, CultureInfo.InvariantCulture, out var processId)
            || !ServerProcess.IsPostgres(processId))
            File.Delete(_folder.PidFile);
    }

    /// <summary>The port used before, or, when that is taken or unknown, a free one.</summary>
    private int ChoosePort()
    {
        if (File.Exists(_folder.Port)
            && int.TryParse(File.ReadAllText(_folder.Port), CultureInfo.InvariantCulture, out var before)
            && Free(before) is { } same)
            return same;
        return Free(0) ?? throw new PrivateClusterException("No free port on 127.0.0.1 for PostgreSQL.");
    }

    private static int? Free(int port)
    {
        try
        {
            using var listener = new TcpListener(IPAddress.Loopback, port);
            listener.Start();
            return ((IPEndPoint)listener.LocalEndpoint).Port;
        }
        catch (SocketException)
        {
            return null;
        }
    }

    private string ConnectionTo(string database, bool pooling) => new NpgsqlConnectionStringBuilder
    {
        Host = "127.0.0.1",
        Port = Port,
        Username = ClusterSettings.Name,
        Password = File.ReadAllText(_folder.Password),
        Database = database,
        Pooling = pooling,
    }.ConnectionString;
}
