using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Hours of use a day.</summary>
public sealed record UsageRate
{
    /// <summary>No rate: nothing on record says how much the module is used.</summary>
    public static UsageRate Unknown { get; } = new() { Basis = UsageBasis.Unknown, HoursPerDay = new() };

    /// <summary>Where it comes from.</summary>
    public required UsageBasis Basis { get; init; }

    /// <summary>Hours a day, 0 to 24. Bounds are there when it is measured (uncertainty of the mean rate) or the cohort's
    /// (range that holds that share of like modules).</summary>
    public required BoundedEstimate HoursPerDay { get; init; }

    /// <summary>The first reading it rests on, UTC; null unless measured.</summary>
    public DateTimeOffset? WindowStart { get; init; }

    /// <summary>The last reading it rests on, UTC; null unless measured.</summary>
    public DateTimeOffset? WindowEnd { get; init; }

    /// <summary>How many readings it rests on; 0 unless measured.</summary>
    public int ReadingCount { get; init; }

    internal double? Value => HoursPerDay.Value;

    internal double? Least => HoursPerDay.Lower ?? HoursPerDay.Value;

    internal double? Greatest => HoursPerDay.Upper ?? HoursPerDay.Value;

    internal static UsageRate Stated(UsageBasis basis, double hoursPerDay) =>
        new() { Basis = basis, HoursPerDay = new() { Value = hoursPerDay } };
}
