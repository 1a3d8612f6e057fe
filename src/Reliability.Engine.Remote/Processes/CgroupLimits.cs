using System.Globalization;

namespace Reliability.Engine.Remote.Processes;

/// <summary>
/// Limits held by the system: a group of cgroup v2 of the plug-in's own, below the first of the host's group and the one above it that
/// is writable and hands memory and processors on.
/// </summary>
internal sealed class CgroupLimits : IProcessLimits
{
    private const double PeriodMicroseconds = 100_000;

    private readonly string _folder;
    private readonly long _memoryLimit;

    private CgroupLimits(string folder, long memoryLimit) => (_folder, _memoryLimit) = (folder, memoryLimit);

    public string Means => "memory and processors limited by cgroup v2";

    /// <summary>Puts a process into a new group.</summary>
    /// <param name="process">The process, just started.</param>
    /// <param name="settings">The limits.</param>
    /// <param name="parents">Folders of groups to try, the best first.</param>
    /// <returns>The limits; null where no such group can be made.</returns>
    public static CgroupLimits? TryMake(int process, RemotePlugInSettings settings, IEnumerable<string> parents)
    {
        foreach (var parent in parents)
        {
            var folder = Path.Combine(
                parent, string.Create(CultureInfo.InvariantCulture, $"plug-in-{settings.Id}-{process}"));
            try
            {
                var controllers = File.ReadAllText(Path.Combine(parent, "cgroup.subtree_control")).Split([' ', '\n']);
                if (!controllers.Contains("memory") || !controllers.Contains("cpu"))
                    continue;
                Directory.CreateDirectory(folder);
                Write(folder, "memory.max", settings.MemoryLimit.ToString(CultureInfo.InvariantCulture));
                Write(folder, "memory.swap.max", "0");
                Write(folder, "memory.oom.group", "1");
                Write(folder, "cpu.max", string.Create(
                    CultureInfo.InvariantCulture, $"{settings.CpuLimit * PeriodMicroseconds:0} {PeriodMicroseconds:0}"));
                Write(folder, "cgroup.procs", process.ToString(CultureInfo.InvariantCulture));
                return new CgroupLimits(folder, settings.MemoryLimit);
            }
            catch (Exception refused) when (refused is IOException or UnauthorizedAccessException)
            {
                Remove(folder);
            }
        }

        return null;
    }

    /// <summary>The host's own group and the one above it; none where there is no cgroup v2.</summary>
    public static IReadOnlyList<string> OwnGroups()
    {
        const string Root = "/sys/fs/cgroup", Unified = "0::";
        try
        {
            if (File.ReadLines("/proc/self/cgroup").FirstOrDefault(l => l.StartsWith(Unified, StringComparison.Ordinal)) is not { } line
                || !File.Exists(Path.Combine(Root, "cgroup.controllers")))
            {
                return [];
            }

            var own = Path.GetFullPath(Root + line[Unified.Length..]).TrimEnd('/');
            return own.Length > Root.Length ? [own, Path.GetDirectoryName(own)!] : [Root];
        }
        catch (Exception absent) when (absent is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }

    public string? Check() => null;

    public string? EndedBy()
    {
        try
        {
            return File.ReadLines(Path.Combine(_folder, "memory.events"))
                .Any(line => line.StartsWith("oom_kill ", StringComparison.Ordinal) && line != "oom_kill 0")
                ? Reasons.OverMemory(_memoryLimit)
                : null;
        }
        catch (IOException)
        {
            return null;
        }
    }

    /// <summary>Ends what is left in the group, and the group.</summary>
    public void Dispose()
    {
        try
        {
            Write(_folder, "cgroup.kill", "1");
        }
        catch (Exception old) when (old is IOException or UnauthorizedAccessException)
        {
            // A kernel before 5.14: the process group was killed already.
        }

        Remove(_folder);
    }

    private static void Remove(string folder)
    {
        try
        {
            // The files in it are the system's and go with it.
            if (Directory.Exists(folder))
                Directory.Delete(folder);
        }
        catch (Exception busy) when (busy is IOException or UnauthorizedAccessException)
        {
            // An empty group left behind costs nothing.
        }
    }

    private static void Write(string folder, string file, string text)
    {
        // Opened, not created: outside a cgroup there is no such file.
        using var stream = new FileStream(Path.Combine(folder, file), FileMode.Open, FileAccess.Write);
        stream.Write(System.Text.Encoding.ASCII.GetBytes(text));
    }
}
