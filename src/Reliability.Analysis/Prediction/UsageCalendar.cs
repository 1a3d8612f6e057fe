namespace Reliability.Analysis;

/// <summary>Dates out of run-hours: hours over hours a day, from an instant on.</summary>
internal static class UsageCalendar
{
    /// <summary>When the hours will have been run; null when the rate is 0 or unknown, or the date beyond the calendar.</summary>
    public static DateTimeOffset? After(DateTimeOffset from, double? hours, double? hoursPerDay, out bool beyond)
    {
        beyond = false;
        if (hours is not { } h || hoursPerDay is not { } rate || rate <= 0)
            return null;
        var days = Math.Max(h, 0) / rate;
        // Whole ticks rounded down, so that a date is never after what the numbers say.
        beyond = !(days < (DateTimeOffset.MaxValue - from).TotalDays);
        return beyond ? null : from.AddTicks((long)(days * TimeSpan.TicksPerDay));
    }
}
