using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>The table that says what each removal reason means for a life, with its version.</summary>
public sealed record OutcomePolicy
{
    /// <summary>The table that holds unless a request overrides it.</summary>
    public static OutcomePolicy Default { get; } = new()
    {
        Version = "1",
        Verdicts = new Dictionary<RemovalReason, OutcomeVerdict>
        {
            [RemovalReason.Failed] = OutcomeVerdict.Failed,
            [RemovalReason.LowOutput] = OutcomeVerdict.Failed,
            [RemovalReason.RatedHoursReached] = OutcomeVerdict.Survived,
            [RemovalReason.Planned] = OutcomeVerdict.Survived,
            [RemovalReason.Upgrade] = OutcomeVerdict.Survived,
            [RemovalReason.RecallOrSafetyNotice] = OutcomeVerdict.Survived,
            [RemovalReason.HostRetired] = OutcomeVerdict.Survived,
            [RemovalReason.LoanReturned] = OutcomeVerdict.Survived,
            [RemovalReason.Other] = OutcomeVerdict.Survived,
        },
    };

    /// <summary>Version of the table.</summary>
    public required string Version { get; init; }

    /// <summary>
    /// The verdict on each reason; a reason that is missing survived. Low output has two rows: this one when a measurement
    /// shows it, <see cref="UnmeasuredLowOutput"/> when none does.
    /// </summary>
    public required IReadOnlyDictionary<RemovalReason, OutcomeVerdict> Verdicts { get; init; }

    /// <summary>The verdict on a removal for low output that no measurement shows.</summary>
    public OutcomeVerdict UnmeasuredLowOutput { get; init; } = OutcomeVerdict.Survived;

    /// <summary>The verdict on a reason.</summary>
    /// <param name="reason">Why the module was removed.</param>
    public OutcomeVerdict On(RemovalReason reason) => Verdicts.GetValueOrDefault(reason, OutcomeVerdict.Survived);

    /// <summary>This table with some rows replaced.</summary>
    /// <param name="rows">The rows to replace.</param>
    public OutcomePolicy With(IEnumerable<KeyValuePair<RemovalReason, OutcomeVerdict>> rows)
    {
        var verdicts = Verdicts.ToDictionary();
        foreach (var (reason, verdict) in rows)
            verdicts[reason] = verdict;
        return this with { Verdicts = verdicts };
    }
}
