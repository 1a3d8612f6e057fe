using System.Globalization;
using System.Runtime.CompilerServices;

namespace Reliability.Engine.Abstractions;

/// <summary>What may be asked of a life, whoever answers: the rules of <see cref="IFittedLife"/>.</summary>
internal static class Questions
{
    /// <summary>Throws for a fraction that nobody may ask.</summary>
    public static void CheckFraction(double fraction, [CallerArgumentExpression(nameof(fraction))] string name = "")
    {
        if (!(fraction > 0 && fraction < 1))
        {
            throw new ArgumentOutOfRangeException(
                name, fraction.ToString("R", CultureInfo.InvariantCulture), "A failed fraction must be above 0 and below 1.");
        }
    }

    /// <summary>Throws for hours that nobody may ask.</summary>
    public static void CheckHours(double hours, [CallerArgumentExpression(nameof(hours))] string name = "")
    {
        if (!double.IsFinite(hours) || hours < 0)
            throw new ArgumentOutOfRangeException(name, hours, "Hours must be a finite number, 0 or more.");
    }

    /// <summary>Throws for ages at which no curve is drawn.</summary>
    public static void CheckAges(IReadOnlyList<double> hours, [CallerArgumentExpression(nameof(hours))] string name = "")
    {
        ArgumentNullException.ThrowIfNull(hours, name);
        foreach (var age in hours)
        {
            if (!double.IsFinite(age) || age <= 0)
                throw new ArgumentOutOfRangeException(name, age, "Ages must be finite numbers above 0.");
        }
    }
}
