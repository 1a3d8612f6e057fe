using System.Globalization;

namespace Reliability.Engine.Remote.Processes;

/// <summary>Memory and processor time of a process, and of all in its session, as /proc tells them.</summary>
/// <param name="Bytes">Memory held.</param>
/// <param name="CpuSeconds">Time on processors since the start.</param>
internal readonly record struct GroupUse(long Bytes, double CpuSeconds)
{
    // Clock ticks a second in /proc: 100 on every Linux of today (USER_HZ).
    private const double TicksPerSecond = 100;

    // Places in /proc/N/stat after the name in parentheses.
    private const int State = 0, Session = 3, UserTicks = 11, SystemTicks = 12, ResidentPages = 21;

    /// <summary>Of one process; nothing when it has gone.</summary>
    public static GroupUse Of(int process) => Fields(process) is { } fields ? Of(fields) : default;

    /// <summary>Of all processes of a session.</summary>
    /// <param name="leader">Process id of the session's leader.</param>
    public static GroupUse OfSession(int leader)
    {
        var (bytes, seconds) = (0L, 0.0);
        foreach (var (_, fields) in InSession(leader))
        {
            var use = Of(fields);
            (bytes, seconds) = (bytes + use.Bytes, seconds + use.CpuSeconds);
        }

        return new(bytes, seconds);
    }

    /// <summary>Process ids of a session that run still, whatever process group they are in.</summary>
    /// <param name="leader">Process id of the session's leader, which need not be there any more.</param>
    public static IReadOnlyList<int> Running(int leader) =>
        [.. InSession(leader).Where(member => member.Fields[State] is not ("Z" or "X")).Select(member => member.Process)];

    private static IEnumerable<(int Process, string[] Fields)> InSession(int leader)
    {
        var session = leader.ToString(CultureInfo.InvariantCulture);
        foreach (var folder in Directory.EnumerateDirectories("/proc"))
        {
            if (!int.TryParse(Path.GetFileName(folder.AsSpan()), NumberStyles.None, CultureInfo.InvariantCulture, out var process)
                || Fields(process) is not { } fields || fields[Session] != session)
            {
                continue;
            }

            yield return (process, fields);
        }
    }

    private static GroupUse Of(string[] fields) => new(
        long.Parse(fields[ResidentPages], CultureInfo.InvariantCulture) * System.Environment.SystemPageSize,
        (double.Parse(fields[UserTicks], CultureInfo.InvariantCulture) + double.Parse(fields[SystemTicks], CultureInfo.InvariantCulture))
            / TicksPerSecond);

    private static string[]? Fields(int process)
    {
        try
        {
            var text = File.ReadAllText(string.Create(CultureInfo.InvariantCulture, $"/proc/{process}/stat"));
            var name = text.LastIndexOf(") ", StringComparison.Ordinal);

            // Empty for one that goes while it is read.
            if (name < 0)
                return null;
            var fields = text[(name + 2)..].Split(' ');
            return fields.Length > ResidentPages ? fields : null;
        }
        catch (Exception gone) when (gone is IOException or UnauthorizedAccessException)
        {
            return null;
        }
    }
}
