namespace Reliability.Engine.Remote.Processes;

/// <summary>
/// A folder for the socket of one process, which only this account can enter, gone when disposed of. A file in it is kept locked
/// meanwhile: folders of processes that are gone and whose lock is free were left behind by a host that was killed, and the next one removes them.
/// </summary>
internal sealed class SocketFolder : IDisposable
{
    private const string Prefix = "reliability-plug-in-", LockFile = "in-use";

    // Between the making of a folder and its lock nobody may take it for one left behind.
    private static readonly TimeSpan New = TimeSpan.FromMinutes(1);

    private readonly string _folder;
    private readonly FileStream _lock;

    private SocketFolder(string folder, FileStream held) => (_folder, _lock) = (folder, held);

    /// <summary>Where the plug-in is to listen.</summary>
    public string Socket => Path.Combine(_folder, "socket");

    /// <summary>Makes one, and removes those that were left behind.</summary>
    /// <exception cref="IOException">None can be made.</exception>
    public static SocketFolder Make()
    {
        RemoveLeftBehind(Path.GetTempPath());
        var folder = Directory.CreateTempSubdirectory($"{Prefix}{System.Environment.ProcessId}-").FullName;
        return new(folder, Locked(folder));
    }

    public void Dispose()
    {
        Directory.Delete(_folder, recursive: true);
        _lock.Dispose();
    }

    private static void RemoveLeftBehind(string parent)
    {
        foreach (var folder in Directory.EnumerateDirectories(parent, Prefix + "*"))
        {
            try
            {
                var isLink = new DirectoryInfo(folder).LinkTarget is not null;
                if (isLink || IsOfLivingProcess(folder) || DateTime.UtcNow - Directory.GetLastWriteTimeUtc(folder) < New)
                    continue;
                using (Locked(folder))
                    Directory.Delete(folder, recursive: true);
            }
            catch (Exception others) when (others is IOException or UnauthorizedAccessException)
            {
                // In use, or of another account.
            }
        }
    }

    // The lock besides, because processes of other containers are not seen here.
    private static bool IsOfLivingProcess(string folder) =>
        Directory.Exists("/proc/" + Path.GetFileName(folder)[Prefix.Length..].Split('-')[0]);

    private static FileStream Locked(string folder) =>
        new(Path.Combine(folder, LockFile), FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None);
}
