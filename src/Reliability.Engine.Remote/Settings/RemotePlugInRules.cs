namespace Reliability.Engine.Remote;

/// <summary>What settings must keep to.</summary>
public static class RemotePlugInRules
{
    private const long LeastMemory = 16L << 20;
    private const double LeastCpu = 0.05, MostCpu = 1024;
    private const int MostCalls = 64;

    private static readonly TimeSpan ShortestDeadline = TimeSpan.FromMilliseconds(10), LongestDeadline = TimeSpan.FromMinutes(10);

    /// <summary>The rules that settings break.</summary>
    /// <param name="settings">The settings of all plug-ins.</param>
    /// <returns>For each fault the place of the plug-in, its field and the rule.</returns>
    public static IEnumerable<(int Index, string Field, string Rule)> Broken(IReadOnlyList<RemotePlugInSettings> settings)
    {
        ArgumentNullException.ThrowIfNull(settings);
        return settings.SelectMany((one, i) => Broken(one).Select(fault => (i, fault.Field, fault.Rule)))
            .Concat(settings.Select((one, i) => (i, one.Id)).GroupBy(one => one.Id, StringComparer.Ordinal)
                .SelectMany(same => same.Skip(1)).Select(again => (again.i, nameof(RemotePlugInSettings.Id), "must be the plug-in's alone")));
    }

    private static IEnumerable<(string Field, string Rule)> Broken(RemotePlugInSettings one)
    {
        if (!Names.IsId(one.Id))
            yield return (nameof(one.Id), "must be 1 to 63 lower case letters and digits with single hyphens, a letter first");
        if (string.IsNullOrEmpty(one.Command) == one.Address is null)
            yield return (nameof(one.Command), "must be given, or Address instead, and not both");
        if (one.Address is not null && one.Address.Scheme is not ("http" or "https" or "unix"))
            yield return (nameof(one.Address), "must be such as http://127.0.0.1:7090 or unix:/run/plug-in.sock");
        if (one.Address is not null && one.Arguments.Count > 0)
            yield return (nameof(one.Arguments), "belong to a Command");
        if (one.Deadline < ShortestDeadline || one.Deadline > LongestDeadline)
            yield return (nameof(one.Deadline), "must be from 10 ms to 10 minutes, such as 00:00:10");
        if (one.StartDeadline < ShortestDeadline || one.StartDeadline > LongestDeadline)
            yield return (nameof(one.StartDeadline), "must be from 10 ms to 10 minutes, such as 00:00:30");
        if (one.MemoryLimit < LeastMemory)
            yield return (nameof(one.MemoryLimit), "must be 16MiB at least, such as 512MiB");
        if (!(one.CpuLimit is >= LeastCpu and <= MostCpu))
            yield return (nameof(one.CpuLimit), "must be from 0.05 to 1024 processors");
        if (one.ConcurrentCalls is < 1 or > MostCalls)
            yield return (nameof(one.ConcurrentCalls), "must be from 1 to 64");
    }
}
