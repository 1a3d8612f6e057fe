namespace Reliability.Store.PostgresInstance;

/// <summary>
/// The folder that holds the PostgreSQL server programs. Distributions keep them off PATH, one folder a major version.
/// </summary>
internal sealed record ServerPrograms(string Folder)
{
    /// <summary>Folders, with one wildcard for the version, where packages put the server programs.</summary>
    internal static readonly IReadOnlyList<string> UsualFolders =
    [
        "/usr/lib/postgresql/*/bin", // Debian, Ubuntu
        "/usr/pgsql-*/bin", // PostgreSQL's own packages on Red Hat and relatives
        "/usr/libexec/postgresql*", // Alpine
        "/usr/local/pgsql/bin", // built from source
        "/opt/homebrew/opt/postgresql@*/bin",
        "/usr/local/opt/postgresql@*/bin",
        "/usr/local/bin",
        "/usr/bin",
    ];

    private static readonly string[] Needed = ["initdb", "postgres", "pg_ctl"];

    public string InitDb => Path.Combine(Folder, "initdb");

    public string PgCtl => Path.Combine(Folder, "pg_ctl");

    public string Postgres => Path.Combine(Folder, "postgres");

    /// <summary>
    /// A complete set of programs: PATH first, since a person put it there, then the usual folders, newest version
    /// first. Data that are there already need the programs of their own major version.
    /// </summary>
    /// <param name="dataVersion">Major version that the data were made with; null when there are none yet.</param>
    /// <param name="cancellation">Ends the search.</param>
    /// <exception cref="PrivateClusterException">No folder holds all programs needed, in the version needed.</exception>
    public static Task<ServerPrograms> FindAsync(string? dataVersion, CancellationToken cancellation) =>
        FindAsync(Environment.GetEnvironmentVariable("PATH"), UsualFolders, dataVersion, cancellation);

    internal static async Task<ServerPrograms> FindAsync(
        string? path, IEnumerable<string> patterns, string? dataVersion, CancellationToken cancellation)
    {
        var onPath = (path ?? "").Split(Path.PathSeparator, StringSplitOptions.RemoveEmptyEntries);
        var complete = onPath.Concat(patterns.SelectMany(Expand)).Where(IsComplete)
            .Select(folder => new ServerPrograms(folder)).ToList();
        if (complete.Count == 0)
            throw new PrivateClusterException(
                "No connection string is set, so the service starts a PostgreSQL of its own, and no PostgreSQL server "
                + "programs (initdb, postgres, pg_ctl) were found on PATH or in the usual folders. Install the Debian "
                + "package 'postgresql' (apt-get install postgresql), or set ConnectionStrings:Reliability to a "
                + "PostgreSQL server that is already there.");
        if (dataVersion is null) return complete[0];
        foreach (var programs in complete)
            if (await programs.MajorVersionAsync(cancellation) == dataVersion) return programs;
        throw new PrivateClusterException(
            $"The data were written by PostgreSQL {dataVersion}, and only other versions were found ("
            + string.Join(", ", complete.Select(programs => programs.Folder)) + "). Install the Debian package "
            + $"'postgresql-{dataVersion}', or upgrade the data with pg_upgrade.");
    }

    private async Task<string> MajorVersionAsync(CancellationToken cancellation)
    {
        var (_, output) = await ServerCommand.RunAsync([Postgres, "--version"], cancellation);
        // "postgres (PostgreSQL) 15.18 (Debian 15.18-0+deb12u1)"
        return output.Split(' ').ElementAtOrDefault(2)?.Split('.')[0] ?? "";
    }

    /// <summary>The folders that match a pattern, newest version first.</summary>
    private static IEnumerable<string> Expand(string pattern)
    {
        var star = pattern.IndexOf('*', StringComparison.Ordinal);
        if (star < 0) return [pattern];
        var parent = Path.GetDirectoryName(pattern[..(star + 1)])!;
        var rest = pattern[(star + 1)..].TrimStart('/');
        var prefix = pattern[(parent.Length + 1)..star];
        if (!Directory.Exists(parent)) return [];
        return Directory.EnumerateDirectories(parent, prefix + "*")
            .OrderByDescending(folder => Version(Path.GetFileName(folder)[prefix.Length..]))
            .Select(folder => Path.Combine(folder, rest));
    }

    private static double Version(string name) => double.TryParse(
        name, System.Globalization.CultureInfo.InvariantCulture, out var version) ? version : 0;

    private static bool IsComplete(string folder) => Needed.All(name => File.Exists(Path.Combine(folder, name)));
}
