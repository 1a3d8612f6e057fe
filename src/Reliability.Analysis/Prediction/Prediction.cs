using Reliability.Engine.Abstractions;
using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// What is to be expected of a module. A planning aid: a statistical estimate, never a permission to exceed rated hours.
/// </summary>
public sealed record Prediction
{
    /// <summary>Resource id of the module.</summary>
    public required string ModuleId { get; init; }

    /// <summary>Id of its model.</summary>
    public required string ModelId { get; init; }

    /// <summary>Its condition.</summary>
    public required Condition Condition { get; init; }

    /// <summary>The site it is at; null when unknown.</summary>
    public string? Site { get; init; }

    /// <summary>The instant predicted from, UTC.</summary>
    public required DateTimeOffset AsOfTime { get; init; }

    /// <summary>Act before this instant, UTC: the earlier of the rated-hours date and the risk-limit date, never before
    /// <see cref="AsOfTime"/>; null when there is neither.</summary>
    public DateTimeOffset? ActBeforeTime { get; init; }

    /// <summary>Which of the two it is.</summary>
    public ActBeforeReason ActBeforeReason { get; init; }

    /// <summary>Rated hours that hold at the as-of time; null when there are none.</summary>
    public double? RatedHours { get; init; }

    /// <summary>When they are reached, UTC; the as-of time when they are already; null when that cannot be said.</summary>
    public DateTimeOffset? RatedHoursTime { get; init; }

    /// <summary>Whether they are reached.</summary>
    public bool RatedHoursReached { get; init; }

    /// <summary>The risk limit used.</summary>
    public required double RiskLimit { get; init; }

    /// <summary>When the chance of failure reaches the risk limit, UTC; null when withheld, unknown or beyond the calendar.</summary>
    public DateTimeOffset? RiskLimitTime { get; init; }

    /// <summary>Run-hours in the current life at the last reading.</summary>
    public required HoursRange AgeAtLastReading { get; init; }

    /// <summary>When that was, UTC; null when no reading counts.</summary>
    public DateTimeOffset? LastReadingTime { get; init; }

    /// <summary>Estimated run-hours in the current life at the as-of time.</summary>
    public required HoursRange EstimatedAge { get; init; }

    /// <summary>Hours of use a day.</summary>
    public required UsageRate Usage { get; init; }

    /// <summary>Further run-hours that half of such modules will outlast; null without a fit.</summary>
    public BoundedEstimate? MedianRemainingHours { get; init; }

    /// <summary>Mean further run-hours; null without a fit.</summary>
    public BoundedEstimate? MeanRemainingHours { get; init; }

    /// <summary>When 10, 50 and 90 % of such modules will have failed; empty without a fit.</summary>
    public IReadOnlyList<FailureDate> FailureDates { get; init; } = [];

    /// <summary>The instant a chance of failure was asked for, UTC; null when none was.</summary>
    public DateTimeOffset? BeforeTime { get; init; }

    /// <summary>The chance of failure before it; null without a fit, a rate of use, or when not asked for.</summary>
    public BoundedEstimate? FailureProbability { get; init; }

    /// <summary>The lives it rests on and what was fitted to them.</summary>
    public required PredictionBasis Basis { get; init; }

    /// <summary>Handling cautions of the module model, and the usual ones.</summary>
    public required IReadOnlyList<Caution> Cautions { get; init; }

    /// <summary>What should be known of the numbers.</summary>
    public required IReadOnlyList<EngineWarning> Warnings { get; init; }
}
