namespace Reliability.Rules;

/// <summary>What a removal reason says of a life.</summary>
public enum Verdict
{
    Survived,
    Failed,
    Excluded,
}

/// <summary>From an hour on, a model's output threshold in per cent of new; null when there is none.</summary>
public readonly record struct Threshold(long From, long? Percent);

/// <summary>How lives are asked for.</summary>
public sealed record Asked
{
    public long? Cutoff { get; init; }
    public bool? UnknownRenews { get; init; }
    public string? Mode { get; init; }
    public IReadOnlyDictionary<Reason, Verdict> Overrides { get; init; } = new Dictionary<Reason, Verdict>();
    public Verdict UnmeasuredLowOutput { get; init; } = Verdict.Survived;

    /// <summary>The models known, each with the versions of its threshold.</summary>
    public IReadOnlyDictionary<string, IReadOnlyList<Threshold>> Models { get; init; } =
        new Dictionary<string, IReadOnlyList<Threshold>>();

    /// <summary>The policy table of removal reasons.</summary>
    public Verdict On(Reason why) =>
        Overrides.TryGetValue(why, out var verdict) ? verdict
        : why is Reason.Failed or Reason.LowOutput ? Verdict.Failed
        : Verdict.Survived;
}
