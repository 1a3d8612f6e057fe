using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// Hours of use a day of like modules: the median over their lives of run-hours by days on record, shelf time included. The
/// bounds are the range that holds the wanted share of those lives, because the module at hand is one more of them.
/// </summary>
internal static class CohortUsage
{
    private const double FewestDays = 7;
    private const double HoursInDay = 24;

    /// <summary>The rate, or null when no life spans a week.</summary>
    public static UsageRate? Estimate(IEnumerable<Life> lives, double confidenceLevel)
    {
        List<double> rates = [.. lives.Select(Rate).OfType<double>().Order()];
        if (rates.Count == 0)
            return null;
        var tail = (1 - confidenceLevel) / 2;
        return new()
        {
            Basis = UsageBasis.Cohort,
            HoursPerDay = new()
            {
                Value = Middle.OfSorted(rates),
                Lower = rates[(int)Math.Floor(tail * (rates.Count - 1))],
                Upper = rates[(int)Math.Ceiling((1 - tail) * (rates.Count - 1))],
            },
        };
    }

    private static double? Rate(Life life)
    {
        var days = (life.EndTime - life.StartTime).TotalDays;
        if (life.Exclusion is not null || life.IsFlagged || life.Outcome is not { } outcome || days < FewestDays)
            return null;
        // A reported life starts at age 0 on its start date; a recorded one gathers hours from its entry age on.
        var from = life.Origin == LifeOrigin.Report ? 0 : life.EntryHours;
        // A life found failed ends on the day it was found: the hours that belong to that day are the upper ones. Those of the
        // last reading before would make the rate too low and every date too late.
        return Math.Clamp(((outcome.UpperHours ?? outcome.LowerHours) - from) / days, 0, HoursInDay);
    }
}
