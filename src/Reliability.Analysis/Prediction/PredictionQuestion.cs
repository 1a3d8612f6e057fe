using Reliability.Engine.Abstractions;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>What is wanted of a prediction.</summary>
public sealed record PredictionQuestion
{
    /// <summary>The instant predicted from, UTC. Lives and modules handed over are expected to be derived with it as cut-off
    /// unless it is now.</summary>
    public required DateTimeOffset AsOfTime { get; init; }

    /// <summary>The accepted chance of failure before the date to act by, above 0 and below 1.</summary>
    public double RiskLimit { get; init; } = 0.05;

    /// <summary>The instant for which the chance of failure before it is wanted, UTC, after <see cref="AsOfTime"/>.</summary>
    public DateTimeOffset? BeforeTime { get; init; }

    /// <summary>Id of the life model; the catalogue's default when null or empty.</summary>
    public string? LifeModel { get; init; }

    /// <summary>Level of the bounds, 0.5 to 0.9999, two-sided.</summary>
    public double ConfidenceLevel { get; init; } = 0.95;

    /// <summary>How bounds are made; the life model's first method when null.</summary>
    public BoundsMethod? BoundsMethod { get; init; }

    /// <summary>Hours of use a day to assume instead of those on record, above 0 and up to 24.</summary>
    public double? AssumedHoursPerDay { get; init; }

    /// <summary>Whether dates beyond rated hours are given, labelled as such.</summary>
    public bool IncludeDatesBeyondRatedHours { get; init; }

    /// <summary>How the lives handed over were derived.</summary>
    public DerivationOptions Derivation { get; init; } = DerivationOptions.Default;

    /// <summary>
    /// The record of this instant is asked, UTC; null for all that is on record. Lives and modules handed over are expected
    /// to be derived from it. Another matter than <see cref="AsOfTime"/>, the date the prediction stands on.
    /// </summary>
    public DateTimeOffset? AsOfRecordTime { get; init; }

    /// <summary>Whether lives that rest on a left-out reading are taken in.</summary>
    public bool IncludeFlagged { get; init; }

    internal FitQuestion OfFit => new()
    {
        LifeModel = LifeModel,
        ConfidenceLevel = ConfidenceLevel,
        BoundsMethod = BoundsMethod,
    };

    internal void Check()
    {
        Refuse.UnlessFraction(RiskLimit, "risk_limit");
        Refuse.UnlessConfidenceLevel(ConfidenceLevel);
        if (AssumedHoursPerDay is { } rate && !(rate > 0 && rate <= 24))
        {
            throw new RequestRefusedException(
                RefusalReasons.OutOfRange, "assumed_hours_per_day", "must be above 0 and at most 24");
        }

        if (BeforeTime <= AsOfTime)
        {
            throw new RequestRefusedException(
                RefusalReasons.OutOfRange, "before_time", "must be after as_of_time");
        }
    }
}
