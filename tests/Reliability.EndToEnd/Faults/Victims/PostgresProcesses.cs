using System.Diagnostics;
using System.Globalization;

namespace Reliability.EndToEnd.Faults.Victims;

/// <summary>The processes of a PostgreSQL server, to be killed one by one. Whoever owns the server starts it again.</summary>
/// <param name="dataDirectory">The data directory of the service or of the test's own cluster.</param>
internal sealed class PostgresProcesses(string dataDirectory)
{
    private readonly string _pidFile = Path.Combine(dataDirectory, "postgresql", "data", "postmaster.pid");

    /// <summary>kill -9 of the server's first process. False when there is none just now.</summary>
    public bool KillServer() => Server() is { } server && Kill(server);

    /// <summary>
    /// kill -9 of one of the processes that serve connections; the server then ends all others and recovers. False when there is
    /// none just now.
    /// </summary>
    public bool KillBackend(Random random)
    {
        if (Server() is not { } server)
            return false;
        var backends = Children(server).Where(ServesAConnection).ToArray();
        return backends.Length > 0 && Kill(backends[random.Next(backends.Length)]);
    }

    private int? Server()
    {
        try
        {
            return int.TryParse(File.ReadLines(_pidFile).FirstOrDefault(), CultureInfo.InvariantCulture, out var id) && Command(id).Length > 0
                ? id
                : null;
        }
        catch (IOException)
        {
            return null;
        }
    }

    private static IEnumerable<int> Children(int parent)
    {
        foreach (var folder in Directory.EnumerateDirectories("/proc"))
        {
            if (int.TryParse(Path.GetFileName(folder), CultureInfo.InvariantCulture, out var id) && Parent(id) == parent)
                yield return id;
        }
    }

    private static int? Parent(int id)
    {
        // "id (name) state parent ...", where the name may hold blanks.
        var fields = Read($"/proc/{id}/stat");
        var rest = fields[(fields.LastIndexOf(')') + 1)..].Split(' ', StringSplitOptions.RemoveEmptyEntries);
        return rest.Length > 1 ? int.Parse(rest[1], CultureInfo.InvariantCulture) : null;
    }

    // "postgres: reliability reliability 127.0.0.1(41234) COMMIT"
    private static bool ServesAConnection(int id) => Command(id).Contains("127.0.0.1(", StringComparison.Ordinal);

    private static string Command(int id) => Read($"/proc/{id}/cmdline");

    private static string Read(string path)
    {
        try
        {
            return File.ReadAllText(path);
        }
        catch (IOException)
        {
            // It has ended meanwhile.
            return "";
        }
    }

    private static bool Kill(int id)
    {
        try
        {
            using var process = Process.GetProcessById(id);
            process.Kill();
            return true;
        }
        catch (ArgumentException)
        {
            return false;
        }
    }
}
