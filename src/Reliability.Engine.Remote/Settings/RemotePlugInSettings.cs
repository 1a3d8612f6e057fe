namespace Reliability.Engine.Remote;

/// <summary>How a plug-in in a process of its own is reached and what it may take. Checked by <see cref="RemotePlugInRules"/>.</summary>
public sealed record RemotePlugInSettings
{
    /// <summary>Id of the plug-in: 1 to 63 lower case letters and digits with single hyphens, a letter first. A plug-in that says to be another one is not taken.</summary>
    public required string Id { get; init; }

    /// <summary>Program to start; null for a plug-in that is connected to. Either this or <see cref="Address"/>.</summary>
    public string? Command { get; init; }

    /// <summary>Arguments of the program.</summary>
    public IReadOnlyList<string> Arguments { get; init; } = [];

    /// <summary>Variables of the program's environment beside the few that are passed on: nothing else of the host's is.</summary>
    public IReadOnlyDictionary<string, string> Environment { get; init; } = new Dictionary<string, string>();

    /// <summary>Where a plug-in listens that others started: http, https or unix.</summary>
    public Uri? Address { get; init; }

    /// <summary>Longest time of one call; from 10 ms to 10 minutes.</summary>
    public TimeSpan Deadline { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>Longest time from its start until it says what it is; from 10 ms to 10 minutes.</summary>
    public TimeSpan StartDeadline { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>Bytes of memory that its processes may hold together; 16 MiB at least. A started one only.</summary>
    public long MemoryLimit { get; init; } = 1L << 30;

    /// <summary>Processors that its processes may use together, on average over some seconds; 0.05 to 1024. A started one only.</summary>
    public double CpuLimit { get; init; } = 1;

    /// <summary>Calls to it at one time, 1 to 64. With 1 it is always known which call made it fail, and no other pays for it.</summary>
    public int ConcurrentCalls { get; init; } = 1;
}
