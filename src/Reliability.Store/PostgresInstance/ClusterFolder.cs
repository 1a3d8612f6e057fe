namespace Reliability.Store.PostgresInstance;

/// <summary>The files of the private cluster inside the data directory.</summary>
/// <param name="DataDirectory">The service's data directory, an absolute path.</param>
internal sealed record ClusterFolder(string DataDirectory)
{
    /// <summary>
    /// Where data go when nothing is configured: the user's data folder, or for root a folder that the account of the
    /// server can reach (root's home is closed to it).
    /// </summary>
    public static string DefaultDataDirectory => Environment.IsPrivilegedProcess && !OperatingSystem.IsWindows()
        ? "/var/lib/reliability"
        : Path.Combine(
            Environment.GetFolderPath(
                Environment.SpecialFolder.LocalApplicationData, Environment.SpecialFolderOption.DoNotVerify),
            "reliability");

    /// <summary>Folder of the cluster, owned by the server's account.</summary>
    public string Root => Path.Combine(DataDirectory, "postgresql");

    /// <summary>PostgreSQL's own data folder (PGDATA).</summary>
    public string Data => Path.Combine(Root, "data");

    /// <summary>Where a cluster is made before it is renamed to <see cref="Data"/>, so that a half-made one is never used.</summary>
    public string Unfinished => Path.Combine(Root, "data.unfinished");

    /// <summary>The generated password, readable by its owner only.</summary>
    public string Password => Path.Combine(Root, "password");

    /// <summary>The port chosen at the first start, kept while it is free.</summary>
    public string Port => Path.Combine(Root, "port");

    /// <summary>What pg_ctl and the server write before the server's own log is open.</summary>
    public string StartLog => Path.Combine(Root, "start.log");

    /// <summary>PostgreSQL's file that names the running server: process id on line 1, port on line 4.</summary>
    public string PidFile => Path.Combine(Data, "postmaster.pid");

    /// <summary>Locked by the service that owns the cluster, for as long as it runs.</summary>
    public string OwnerLock => Path.Combine(DataDirectory, "service.lock");
}
