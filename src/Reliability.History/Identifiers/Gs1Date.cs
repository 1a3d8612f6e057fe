using System.Globalization;

namespace Reliability.History.Identifiers;

/// <summary>
/// A date as GS1 element strings hold it, YYMMDD: a year without its century, a day that may be 00. Labels of health care printed
/// since 1 January 2025 must name the day (change notification 21-040 of the General Specifications); older ones need not.
/// </summary>
/// <param name="YearOfCentury">0 to 99.</param>
/// <param name="Month">1 to 12.</param>
/// <param name="Day">1 to 31, or 0 for the last day of the month.</param>
public readonly record struct Gs1Date(int YearOfCentury, int Month, int Day)
{
    // A date must not be refused in one century and taken in another: 29 February passes in every fourth year.
    private const int LeapYear = 2000, OtherYear = 2001;

    /// <summary>Reads six digits; null when they are no date.</summary>
    /// <param name="digits">YYMMDD.</param>
    public static Gs1Date? Read(ReadOnlySpan<char> digits)
    {
        if (digits.Length != 6 || digits.ContainsAnyExceptInRange('0', '9'))
            return null;
        var date = new Gs1Date(Number(digits[..2]), Number(digits[2..4]), Number(digits[4..]));
        return date.Month is >= 1 and <= 12
            && date.Day <= DateTime.DaysInMonth(date.YearOfCentury % 4 == 0 ? LeapYear : OtherYear, date.Month)
            ? date
            : null;
    }

    /// <summary>
    /// The date in the calendar, by the window of the GS1 General Specifications, 7.12: a year that lies 51 to 99 ahead of the
    /// present one is of the century before, one that lies 50 to 99 behind it of the century after.
    /// </summary>
    /// <param name="presentYear">The year in which it is read, 100 to 9899.</param>
    public DateOnly Resolve(int presentYear)
    {
        var ahead = YearOfCentury - (presentYear % 100);
        var year = presentYear - (presentYear % 100) + YearOfCentury + ahead switch
        {
            >= 51 => -100,
            <= -50 => 100,
            _ => 0,
        };
        var days = DateTime.DaysInMonth(year, Month);
        return new(year, Month, Day == 0 ? days : Math.Min(Day, days));
    }

    private static int Number(ReadOnlySpan<char> digits) => int.Parse(digits, NumberStyles.None, CultureInfo.InvariantCulture);
}
