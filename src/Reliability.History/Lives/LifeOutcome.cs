using System.Text.Json.Serialization;

namespace Reliability.History.Lives;

/// <summary>How a life ended and at which age, run-hours since its start.</summary>
public readonly record struct LifeOutcome
{
    /// <summary>An outcome; prefer the named makers.</summary>
    /// <param name="kind">Survived, failed or between.</param>
    /// <param name="lowerHours">Age survived; age of failure; or the end of (lower, upper] that is not included.</param>
    /// <param name="upperHours">Null for a survivor; age of failure; or the end that is included.</param>
    [JsonConstructor]
    public LifeOutcome(OutcomeKind kind, double lowerHours, double? upperHours) =>
        (Kind, LowerHours, UpperHours) = (kind, lowerHours, upperHours);

    /// <summary>Survived, failed or between.</summary>
    public OutcomeKind Kind { get; }

    /// <summary>Age survived; age of failure; or the lower end of (lower, upper], run-hours.</summary>
    public double LowerHours { get; }

    /// <summary>Null for a survivor; age of failure; or the upper end of (lower, upper], run-hours.</summary>
    public double? UpperHours { get; }

    /// <summary>Survived to an age.</summary>
    /// <param name="hours">Age, run-hours.</param>
    public static LifeOutcome Survived(double hours) => new(OutcomeKind.Survived, hours, null);

    /// <summary>Failed at an age.</summary>
    /// <param name="hours">Age, run-hours.</param>
    public static LifeOutcome Failed(double hours) => new(OutcomeKind.Failed, hours, hours);

    /// <summary>Failed in (lower, upper]; equal ends mean failed at that age.</summary>
    /// <param name="lowerHours">Age that was reached alive, run-hours.</param>
    /// <param name="upperHours">Age by which it had failed, run-hours.</param>
    public static LifeOutcome Between(double lowerHours, double upperHours) =>
        lowerHours < upperHours ? new(OutcomeKind.Between, lowerHours, upperHours) : Failed(upperHours);
}
