using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// Competing failure modes: with one mode asked for, a life that failed by another survived so far. Of a failure found late
/// only the age at which it was last seen working is sure.
/// </summary>
internal static class ModeSelection
{
    public static Life Apply(Life life, string? mode)
    {
        if (mode is null || life.Outcome is not { } outcome || outcome.Kind == OutcomeKind.Survived
            || life.FailureMode == mode)
            return life;

        return life with
        {
            Outcome = LifeOutcome.Survived(outcome.LowerHours),
            EndedInFailure = false,
            Exclusion = life.Exclusion ?? (outcome.LowerHours <= life.EntryHours ? LifeExclusion.NoExposure : null),
            Ambiguities = life.FailureMode is null ? [.. life.Ambiguities, LifeAmbiguity.FailureModeUnknown] : life.Ambiguities,
        };
    }
}
