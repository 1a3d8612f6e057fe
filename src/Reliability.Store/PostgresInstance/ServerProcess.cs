using System.Diagnostics;

namespace Reliability.Store.PostgresInstance;

/// <summary>Whether a process id belongs to a living PostgreSQL server.</summary>
internal static class ServerProcess
{
    /// <summary>
    /// True for a living process whose command is a PostgreSQL server. A zombie has an empty command line.
    /// </summary>
    public static bool IsPostgres(int processId)
    {
        if (processId <= 0) return false;
        if (OperatingSystem.IsLinux())
        {
            try
            {
                var command = File.ReadAllText($"/proc/{processId}/cmdline").Split('\0')[0];
                return Path.GetFileName(command) is "postgres" or "postmaster";
            }
            catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
            {
                return false;
            }
        }
        try
        {
            using var process = Process.GetProcessById(processId);
            return process.ProcessName is "postgres" or "postmaster";
        }
        catch (ArgumentException)
        {
            return false;
        }
    }
}
