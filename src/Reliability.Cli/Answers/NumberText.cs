using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Reliability.V1;

namespace Reliability.Cli.Answers;

/// <summary>Numbers and times for people.</summary>
internal static class NumberText
{
    /// <summary>Stands for what does not exist.</summary>
    public const string Absent = "–";

    private const int SignificantDigits = 5;

    /// <summary>A number with five significant digits, or a dash when it does not exist.</summary>
    public static string Of(double? value)
    {
        if (value is not double number)
            return Absent;
        if (number == 0)
            return "0";
        int magnitude = (int)Math.Floor(Math.Log10(Math.Abs(number)));
        if (magnitude is < -4 or > 14)
            return number.ToString("0.####E+0", CultureInfo.InvariantCulture);
        int decimals = Math.Clamp(SignificantDigits - 1 - magnitude, 0, 10);
        return number.ToString("#,0." + new string('#', decimals), CultureInfo.InvariantCulture);
    }

    /// <summary>A whole number with thousands set apart.</summary>
    public static string Count(long value) => value.ToString("#,0", CultureInfo.InvariantCulture);

    /// <summary>A count of things, such as "1 row" or "2,000 rows".</summary>
    public static string Counted(long value, string one, string many) => $"{Count(value)} {(value == 1 ? one : many)}";

    /// <summary>A fraction as a percentage, such as "95 %", with five significant digits.</summary>
    public static string Percent(double fraction) =>
        Of(Math.Round(fraction * 100, 12)) + " %";

    /// <summary>A statistic of a test; what rounding alone has left of 0 is 0.</summary>
    public static string Statistic(double? value) => Of(value is { } number && Math.Abs(number) < 1e-9 ? 0 : value);

    /// <summary>The chance behind a test.</summary>
    public static string PValue(double? value) => value switch
    {
        null => Absent,
        < 0.0001 => "< 0.0001",
        double p => p.ToString("0.0000", CultureInfo.InvariantCulture),
    };

    /// <summary>A range of hours: one number when both ends are the same.</summary>
    public static string Range(HoursRange? range) => range switch
    {
        null => Absent,
        { HasUpperHours: false } => $"{Of(range.LowerHours)} or more",
        _ when range.LowerHours.Equals(range.UpperHours) => Of(range.LowerHours),
        _ => $"{Of(range.LowerHours)} to {Of(range.UpperHours)}",
    };

    /// <summary>A day in UTC.</summary>
    public static string Day(Timestamp? time) =>
        time?.ToDateTime().ToString("yyyy-MM-dd", CultureInfo.InvariantCulture) ?? Absent;

    /// <summary>A minute in UTC.</summary>
    public static string Minute(Timestamp? time) =>
        time?.ToDateTime().ToString("yyyy-MM-dd HH:mm'Z'", CultureInfo.InvariantCulture) ?? Absent;
}
