using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>
/// The time from one renewal of the wearing part to the next: a life, and the hours that run on after its failure, if any.
/// </summary>
internal sealed class Phase(int index)
{
    /// <summary>0 for the first on record.</summary>
    public int Index { get; } = index;

    /// <summary>The renewal with which it began; null for the first.</summary>
    public RecordedEvent? Renewal { get; init; }

    /// <summary>Whether nobody knows that the wearing part was renewed.</summary>
    public bool RenewalUnknown { get; set; }

    /// <summary>Who renewed the wearing part.</summary>
    public string? RenewedBy { get; init; }

    public List<SpellDraft> Spells { get; } = [];

    /// <summary>The failure that ended the life; null while it has not failed.</summary>
    public FailureDraft? Failure { get; set; }

    /// <summary>The removal by which the policy leaves the life out.</summary>
    public RecordedEvent? ExcludedBy { get; set; }

    /// <summary>The event that shows the install to be missing, when no spell could be made.</summary>
    public RecordedEvent? WithoutInstall { get; set; }

    /// <summary>The next renewal, or the retirement.</summary>
    public RecordedEvent? ClosedBy { get; set; }

    public bool LifeIsOver => Failure is not null || ExcludedBy is not null;
}
