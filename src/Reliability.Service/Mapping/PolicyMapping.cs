using Reliability.History.Lives;
using Reliability.Service.Events;

namespace Reliability.Service.Mapping;

/// <summary>The table of what removals say of lives.</summary>
internal static class PolicyMapping
{
    /// <summary>The default table with the rows that a request overrides.</summary>
    public static OutcomePolicy FromWire(V1.OutcomePolicy? asked)
    {
        if (asked is null)
            return OutcomePolicy.Default;
        var policy = OutcomePolicy.Default.With(asked.Rules.Select(rule => KeyValuePair.Create(
            Words.RemovalReasons.ToHistory(rule.RemovalReason), Words.Verdicts.ToHistory(rule.Verdict))));
        return asked.UnmeasuredLowOutputVerdict == V1.OutcomeVerdict.Unspecified
            ? policy
            : policy with { UnmeasuredLowOutput = Words.Verdicts.ToHistory(asked.UnmeasuredLowOutputVerdict) };
    }

    /// <summary>All rows as used.</summary>
    public static V1.OutcomePolicy ToWire(OutcomePolicy policy, bool? unknownRenewalRenews)
    {
        var wire = new V1.OutcomePolicy
        {
            Version = policy.Version,
            UnmeasuredLowOutputVerdict = Words.Verdicts.ToWire(policy.UnmeasuredLowOutput),
        };
        foreach (var reason in Enum.GetValues<History.Events.RemovalReason>())
        {
            wire.Rules.Add(new V1.OutcomeRule
            {
                RemovalReason = Words.RemovalReasons.ToWire(reason),
                Verdict = Words.Verdicts.ToWire(policy.On(reason)),
            });
        }

        if (unknownRenewalRenews is { } renews)
            wire.UnknownRenewalRenews = renews;
        return wire;
    }
}
