namespace Reliability.History.Lives;

/// <summary>What a sample and its summary take of a life: it can be read without the rest.</summary>
public readonly record struct LifeInSample
{
    /// <inheritdoc cref="Life.ModuleId"/>
    public required string ModuleId { get; init; }

    /// <inheritdoc cref="Life.ModelId"/>
    public required string ModelId { get; init; }

    /// <inheritdoc cref="Life.EndTime"/>
    public required DateTimeOffset EndTime { get; init; }

    /// <inheritdoc cref="Life.InService"/>
    public bool InService { get; init; }

    /// <inheritdoc cref="Life.EntryHours"/>
    public required double EntryHours { get; init; }

    /// <inheritdoc cref="Life.Outcome"/>
    public LifeOutcome? Outcome { get; init; }

    /// <inheritdoc cref="Life.FailureMode"/>
    public string? FailureMode { get; init; }

    /// <inheritdoc cref="Life.RatedHours"/>
    public double? RatedHours { get; init; }

    /// <inheritdoc cref="Life.Exclusion"/>
    public LifeExclusion? Exclusion { get; init; }

    /// <inheritdoc cref="Life.Flags"/>
    public required IReadOnlyList<RecordOddity> Flags { get; init; }

    /// <inheritdoc cref="Life.Ambiguities"/>
    public required IReadOnlyList<LifeAmbiguity> Ambiguities { get; init; }

    /// <summary>That of a whole life.</summary>
    /// <param name="life">The life.</param>
    public static LifeInSample Of(Life life)
    {
        ArgumentNullException.ThrowIfNull(life);
        return new()
        {
            ModuleId = life.ModuleId,
            ModelId = life.ModelId,
            EndTime = life.EndTime,
            InService = life.InService,
            EntryHours = life.EntryHours,
            Outcome = life.Outcome,
            FailureMode = life.FailureMode,
            RatedHours = life.RatedHours,
            Exclusion = life.Exclusion,
            Flags = life.Flags,
            Ambiguities = life.Ambiguities,
        };
    }
}
