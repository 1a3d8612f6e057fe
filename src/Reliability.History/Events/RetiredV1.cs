namespace Reliability.History.Events;

/// <summary>A module is given up for good.</summary>
public sealed record RetiredV1 : EventBody
{
    /// <summary>
    /// The reason that says the module had failed: a module retired for it while its life goes on is a failure found then.
    /// </summary>
    public const string FailedReason = "failed";

    /// <summary>Why: a code of the organisation; null when not stated.</summary>
    public string? Reason { get; init; }

    /// <summary>Where it went: a code of the organisation; null when not stated.</summary>
    public string? DisposalRoute { get; init; }
}
