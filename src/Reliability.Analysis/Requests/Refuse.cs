using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Checks of questions, with field names as the API spells them.</summary>
internal static class Refuse
{
    /// <summary>Narrowest and widest confidence levels on offer, as the API states them.</summary>
    private const double LeastConfidenceLevel = 0.5, GreatestConfidenceLevel = 0.9999;

    public static void UnlessConfidenceLevel(double level, string field = "confidence_level")
    {
        if (!(level >= LeastConfidenceLevel && level <= GreatestConfidenceLevel))
        {
            throw new RequestRefusedException(
                RefusalReasons.OutOfRange, field, $"must be between 0.5 and 0.9999; got {Text(level)}");
        }
    }

    public static void UnlessFraction(double fraction, string field)
    {
        if (!(fraction > 0 && fraction < 1))
        {
            throw new RequestRefusedException(
                RefusalReasons.OutOfRange, field, $"must be above 0 and below 1; got {Text(fraction)}");
        }
    }

    public static void UnlessHours(double hours, string field)
    {
        if (!double.IsFinite(hours) || hours < 0)
        {
            throw new RequestRefusedException(
                RefusalReasons.OutOfRange, field, $"must be a finite number of run-hours, 0 or more; got {Text(hours)}");
        }
    }

    public static void UnlessHoursAbove0(double hours, string field)
    {
        if (!double.IsFinite(hours) || hours <= 0)
        {
            throw new RequestRefusedException(
                RefusalReasons.OutOfRange, field, $"must be a finite number of run-hours above 0; got {Text(hours)}");
        }
    }

    public static void UnlessAtMost(int count, int greatest, string field)
    {
        if (count > greatest)
        {
            throw new RequestRefusedException(
                RefusalReasons.TooLarge, field,
                string.Create(CultureInfo.InvariantCulture, $"at most {greatest:N0} are answered in one call; got {count:N0}"));
        }
    }

    public static RequestRefusedException From(UnsupportedRequestException refusal) =>
        new(RefusalReasons.UnsupportedOption, refusal.Option, refusal.Rule);

    private static string Text(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
