using System.Diagnostics;
using System.Globalization;
using Microsoft.Extensions.Logging;

namespace Reliability.Engine.Remote.Processes;

/// <summary>
/// A plug-in's process with all that it starts: a session of its own, of lower priority than the host once it serves, ended by the system
/// when the thread that started it ends (and so with the host, however that ends). Used by that one thread.
/// </summary>
internal sealed class PlugInProcess : IDisposable
{
    /// <summary>Variable that tells the plug-in where to listen.</summary>
    public const string SocketVariable = "RELIABILITY_PLUGIN_SOCKET";

    private const int Niceness = 10, Rounds = 10;

    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(2), BetweenRounds = TimeSpan.FromMilliseconds(10);

    // What programs need to find themselves; secrets of the host stay with it.
    private static readonly string[] PassedOn =
        ["PATH", "HOME", "LANG", "LC_ALL", "TZ", "TMPDIR", "DOTNET_ROOT", "DOTNET_CLI_HOME", "XDG_RUNTIME_DIR"];

    private static readonly string[] Programs = ["/usr/bin", "/bin"];

    private readonly Process _process;
    private readonly IProcessLimits _limits;
    private readonly ErrorOutput _output;
    private readonly bool _hasSession;

    private PlugInProcess(Process process, IProcessLimits limits, ErrorOutput output, bool hasSession) =>
        (_process, _limits, _output, _hasSession) = (process, limits, output, hasSession);

    public int Id => _process.Id;

    /// <summary>How its limits are held and what ends it with the host, for the log.</summary>
    public string Means => _limits.Means + (_hasSession
        ? "; ended with its session at stop, and by the system with the host"
        : "; setsid and setpriv were not found: it may outlive a host that is killed");

    /// <summary>Characters that it wrote to standard output and error.</summary>
    public long Written => _output.Characters;

    /// <summary>Starts it.</summary>
    /// <param name="settings">The command and its limits.</param>
    /// <param name="socket">Path of the socket that it is to listen on.</param>
    /// <param name="logger">Takes what it writes.</param>
    /// <exception cref="System.ComponentModel.Win32Exception">There is no such program, or it cannot be run.</exception>
    public static PlugInProcess Start(RemotePlugInSettings settings, string socket, ILogger logger)
    {
        var wrap = Wrap();
        var start = new ProcessStartInfo
        {
            FileName = wrap.Count > 0 ? wrap[0] : settings.Command!,
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            UseShellExecute = false,
        };
        foreach (var word in wrap.Count > 0 ? [.. wrap.Skip(1), settings.Command!, .. settings.Arguments] : settings.Arguments)
            start.ArgumentList.Add(word);
        foreach (var name in start.Environment.Keys.Except(PassedOn, StringComparer.Ordinal).ToList())
            start.Environment.Remove(name);
        foreach (var (name, value) in settings.Environment)
            start.Environment[name] = value;
        start.Environment[SocketVariable] = socket;

        var process = Process.Start(start)!;
        var output = new ErrorOutput(settings.Id, logger);
        _ = output.DrainAsync(process.StandardError);
        _ = output.DrainAsync(process.StandardOutput);
        OfferFirst(process.Id);
        IProcessLimits limits = CgroupLimits.TryMake(process.Id, settings, CgroupLimits.OwnGroups()) is { } cgroup
            ? cgroup
            : new WatchedLimits(process.Id, settings);
        return new PlugInProcess(process, limits, output, wrap.Count > 0);
    }

    /// <summary>Why it has ended or must; null while all is well.</summary>
    public string? Check() => _process.HasExited ? _limits.EndedBy() ?? Reasons.Exited(_process.ExitCode) : _limits.Check();

    /// <summary>Has it give way to the host where processors are busy. Not before it serves: a start would take too long.</summary>
    public void GiveWay()
    {
        try
        {
            foreach (var thread in Directory.EnumerateDirectories(string.Create(CultureInfo.InvariantCulture, $"/proc/{_process.Id}/task")))
                Native.SetNiceness(int.Parse(Path.GetFileName(thread), CultureInfo.InvariantCulture), Niceness);
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            // It has ended already.
        }
    }

    /// <summary>Asks it to end, and ends it when it does not.</summary>
    public void Stop()
    {
        _process.StandardInput.Close();
        Signal(Native.Terminate);
        // One that is held could not hear it.
        Signal(Native.Continue);
        _process.WaitForExit(Patience);
    }

    /// <summary>Ends it and all of its session, if it has not ended, and lets go of it.</summary>
    public void Dispose()
    {
        Signal(Native.Kill);
        if (_hasSession)
            EndSession();
        if (!_hasSession && !_process.HasExited)
            _process.Kill(entireProcessTree: true);
        _process.WaitForExit(Patience);
        _limits.Dispose();
        _process.Dispose();
    }

    /// <summary>Ends what made a process group of its own in the session; again, because it may have started more meanwhile.</summary>
    private void EndSession()
    {
        for (var round = 0; round < Rounds && GroupUse.Running(_process.Id) is { Count: > 0 } left; round++)
        {
            foreach (var process in left)
                Native.SignalProcess(process, Native.Kill);
            Thread.Sleep(BetweenRounds);
        }
    }

    private void Signal(int signal)
    {
        if (_hasSession)
            Native.SignalGroup(_process.Id, signal);
    }

    /// <summary>Has the system end this process first when memory runs out.</summary>
    private static void OfferFirst(int process)
    {
        try
        {
            File.WriteAllText(string.Create(CultureInfo.InvariantCulture, $"/proc/{process}/oom_score_adj"), "1000");
        }
        catch (Exception refused) when (refused is IOException or UnauthorizedAccessException)
        {
            // Then its limit alone protects the host.
        }
    }

    /// <summary>Programs that make a session and tie it to this thread's life, each becoming the next: the process id stays. None where
    /// one of them is missing.</summary>
    private static IReadOnlyList<string> Wrap()
    {
        static string? Find(string program) =>
            Programs.Select(folder => Path.Combine(folder, program)).FirstOrDefault(File.Exists);

        return OperatingSystem.IsLinux() && Find("setsid") is { } setsid && Find("setpriv") is { } setpriv
            ? [setsid, setpriv, "--pdeathsig", "KILL", "--no-new-privs", "--"]
            : [];
    }
}
