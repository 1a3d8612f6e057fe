using System.Runtime.InteropServices;

namespace Reliability.Engine.Remote.Processes;

/// <summary>What the base library does not offer of the system.</summary>
internal static partial class Native
{
    public const int Terminate = 15, Kill = 9, Stop = 19, Continue = 18;

    /// <summary>Sends a signal to a process group; nothing when there is none any more.</summary>
    /// <param name="leader">Process id of the group's leader.</param>
    /// <param name="signal">The signal.</param>
    public static void SignalGroup(int leader, int signal) => _ = kill(-leader, signal);

    /// <summary>Sends a signal to a process; nothing when there is none any more.</summary>
    /// <param name="process">Process id.</param>
    /// <param name="signal">The signal.</param>
    public static void SignalProcess(int process, int signal) => _ = kill(process, signal);

    /// <summary>Sets the priority of a thread: what is nicer gets less of a busy processor.</summary>
    /// <param name="thread">Thread id.</param>
    /// <param name="niceness">0 as usual, 19 the nicest.</param>
    public static void SetNiceness(int thread, int niceness) => _ = setpriority(0, thread, niceness);

    [DllImport("libc", ExactSpelling = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
    private static extern int setpriority(int which, int who, int niceness);

    [DllImport("libc", ExactSpelling = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
    private static extern int kill(int pid, int signal);
}
