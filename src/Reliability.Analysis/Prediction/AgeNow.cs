using Reliability.History.Lives;

namespace Reliability.Analysis;

/// <summary>
/// The age of a module at an instant after its last reading: the age then, and hours at its rate of use since. The range takes
/// in both the range of the age on record and the bounds of the rate.
/// </summary>
/// <param name="Estimate">Run-hours: the middle of the range on record, and the rate since.</param>
/// <param name="Least">The least it can be.</param>
/// <param name="Greatest">The most it can be.</param>
/// <param name="AgainstRatedHours">The age to hold against rated hours: the most it can be: to be early is safe, to be late is not.</param>
internal sealed record AgeNow(double Estimate, double Least, double Greatest, double AgainstRatedHours)
{
    public bool IsRange => Greatest > Least;

    public static AgeNow Of(HoursRange recorded, double daysSince, UsageRate usage)
    {
        var upper = recorded.UpperHours ?? recorded.LowerHours;
        var since = (usage.Value ?? 0) * daysSince;
        return new(
            ((recorded.LowerHours + upper) / 2) + since,
            recorded.LowerHours + ((usage.Least ?? 0) * daysSince),
            upper + ((usage.Greatest ?? 0) * daysSince),
            upper + ((usage.Greatest ?? 0) * daysSince));
    }
}
