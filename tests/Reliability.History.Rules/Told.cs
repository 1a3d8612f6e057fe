namespace Reliability.Rules;

/// <summary>How a life ended.</summary>
public enum End
{
    Survived,
    Failed,
    Between,
}

/// <summary>Why a life enters no sample.</summary>
public enum Left
{
    ModelUnknown,
    InstallMissing,
    EntryAgeUnknown,
    OpenedAfterOutcome,
    EndedBeforeComplete,
    RenewalUnknown,
    NoExposure,
    AgeUnknown,
    BeyondCutoff,
    ByPolicy,
}

/// <summary>Choices that could have given a life another outcome.</summary>
public enum Doubt
{
    UnmeasuredLowOutput,
    OtherReason,
    ModeUnknown,
    Conflict,
}

/// <summary>Whether a fact counts.</summary>
public enum Standing
{
    Counted,
    NotRegistered,
    ModelUnknown,
    InstallMissing,
    TargetMissing,
    TargetCircular,
    Retracted,
    Replaced,
    Duplicate,
    Superseded,
    LeftOut,
    Conflict,
    AfterCutoff,
}

/// <summary>A life as the rules tell it.</summary>
public sealed record ToldLife
{
    public bool FromReport { get; init; }
    public int Refurbishments { get; init; }
    public string? By { get; init; }
    public string? Site { get; init; }
    public string? Host { get; init; }
    public long Entry { get; init; }
    public End? End { get; init; }
    public long Lower { get; init; }
    public long? Upper { get; init; }
    public bool EndedInFailure { get; init; }
    public string? Mode { get; init; }
    public Reason? Why { get; init; }
    public bool InService { get; init; }
    public Left? Left { get; init; }
    public bool Flagged { get; init; }
    public string Doubts { get; init; } = "";
}

/// <summary>What the rules tell of one record.</summary>
public sealed record Told(IReadOnlyList<ToldLife> Lives, IReadOnlyDictionary<string, Standing> Standings, Branches Branches)
{
    /// <summary>Whether the rules leave open which of two readings counts.</summary>
    public bool LeftOpen { get; init; }
}
