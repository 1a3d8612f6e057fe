using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.Store.Records;

/// <summary>Which state of the record an answer rests on, and how lives are derived from it.</summary>
public sealed record RecordView
{
    /// <summary>All that is on record, derived as the stored lives are.</summary>
    public static RecordView Present { get; } = new();

    /// <summary>Cut-off, policy and choices.</summary>
    public DerivationOptions Derivation { get; init; } = DerivationOptions.Default;

    /// <summary>
    /// Only what was recorded by this instant, UTC, models in the catalogue and retractions among it; null for all that is
    /// on record. When things happened is another matter: that is the cut-off of the derivation.
    /// </summary>
    public DateTimeOffset? AsOfRecordTime { get; init; }

    /// <summary>Whether stored lives and states show it; else they are derived again from the records.</summary>
    public bool IsStored =>
        AsOfRecordTime is null
        && Derivation is { DataCutoffTime: null, UnknownRenewalRenews: null, FailureMode: null }
        && Derivation.OutcomePolicy.UnmeasuredLowOutput == OutcomePolicy.Default.UnmeasuredLowOutput
        && Enum.GetValues<RemovalReason>().All(
            reason => Derivation.OutcomePolicy.On(reason) == OutcomePolicy.Default.On(reason));
}
