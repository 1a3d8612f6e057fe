namespace Reliability.History.Lives;

/// <summary>How lives are to be derived. The default is what the stored lives are derived with.</summary>
public sealed record DerivationOptions
{
    /// <summary>The default view.</summary>
    public static DerivationOptions Default { get; } = new();

    /// <summary>
    /// Nothing that happened after this instant is used, for failures and survivors alike, UTC; null for no cut-off. An
    /// event known to the day counts when its day has ended. Retractions always count: they correct, they do not happen.
    /// </summary>
    public DateTimeOffset? DataCutoffTime { get; init; }

    /// <summary>What each removal reason means.</summary>
    public OutcomePolicy OutcomePolicy { get; init; } = OutcomePolicy.Default;

    /// <summary>
    /// Whether a repair or refurbishment of unknown extent counts as renewing the wearing part; null excludes and counts what
    /// follows it.
    /// </summary>
    public bool? UnknownRenewalRenews { get; init; }

    /// <summary>
    /// Count failures by this mode only; failures by other modes, or by none that is known, survived so far. Null counts all.
    /// </summary>
    public string? FailureMode { get; init; }
}
