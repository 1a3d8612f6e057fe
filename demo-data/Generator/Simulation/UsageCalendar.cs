using Reliability.DemoData.Randomness;

namespace Reliability.DemoData.Simulation;

/// <summary>
/// The hours that a position has run, by the minute. A position draws a rate of its own; months and days vary about it.
/// Minutes count from midnight UTC of the network's first day.
/// </summary>
internal sealed class UsageCalendar
{
    /// <summary>Minutes in a day.</summary>
    public const int DayMinutes = 24 * 60;

    /// <summary>What <see cref="MinuteReaching"/> answers for hours that the calendar never reaches.</summary>
    public const int Never = int.MaxValue;

    private const double MostHoursPerDay = 23.5;
    private readonly double[] _hoursAtMidnight;

    /// <summary>Draws a calendar of the given number of days.</summary>
    public UsageCalendar(int days, (double Least, double Most) hoursPerDay, Xoshiro256 random)
    {
        UsualHoursPerDay = random.Uniform(hoursPerDay.Least, hoursPerDay.Most);
        _hoursAtMidnight = new double[days + 1];
        var month = 1.0;
        for (var day = 0; day < days; day++)
        {
            if (day % 30 == 0)
                month = random.Uniform(0.85, 1.15);
            var today = Math.Min(MostHoursPerDay, UsualHoursPerDay * month * random.Uniform(0.9, 1.1));
            _hoursAtMidnight[day + 1] = _hoursAtMidnight[day] + today;
        }
    }

    /// <summary>The rate about which months and days vary.</summary>
    public double UsualHoursPerDay { get; }

    /// <summary>Hours run since the first day.</summary>
    public double HoursAt(int minute)
    {
        var (day, rest) = Math.DivRem(minute, DayMinutes);
        if (day >= _hoursAtMidnight.Length - 1)
            return _hoursAtMidnight[^1];
        return _hoursAtMidnight[day] + (_hoursAtMidnight[day + 1] - _hoursAtMidnight[day]) * rest / DayMinutes;
    }

    /// <summary>The first whole minute at which that many hours have been run, or <see cref="Never"/>.</summary>
    public int MinuteReaching(double hours)
    {
        if (hours > _hoursAtMidnight[^1])
            return Never;
        var index = Array.BinarySearch(_hoursAtMidnight, hours);
        if (index >= 0)
            return index * DayMinutes;
        var day = ~index - 1;
        var share = (hours - _hoursAtMidnight[day]) / (_hoursAtMidnight[day + 1] - _hoursAtMidnight[day]);
        return day * DayMinutes + (int)Math.Ceiling(share * DayMinutes);
    }
}
