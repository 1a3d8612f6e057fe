using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>Numbers and quantities as they read in a sentence.</summary>
internal static class Words
{
    public static string Percentile(double failureFraction) =>
        $"B{Number(failureFraction * 100, "0.####")} life";

    public static string Hours(double hours) => $"{Number(hours, "#,0.##")} h";

    public static string Percent(double fraction) => $"{Number(fraction * 100, "0.##")} %";

    public static string Number(double value) => Number(value, "0.##");

    public static string Count(double count, string one, string several) =>
        count == 1 ? $"1 {one}" : string.Create(CultureInfo.InvariantCulture, $"{count:#,0} {several}");

    // What the form would round to 0, or write in more digits than anyone reads, is told with its power of ten.
    private static string Number(double value, string form) =>
        (Math.Abs(value) >= 1e15 || (value != 0 && Math.Abs(value) < 1e-4) ? value.ToString("0.####E+0", CultureInfo.InvariantCulture)
            : value.ToString(form, CultureInfo.InvariantCulture));

    /// <summary>A word enum member in the API's spelling: UPPER_SNAKE.</summary>
    public static string Code<TEnum>(TEnum member)
        where TEnum : struct, Enum =>
        string.Concat(member.ToString().Select((c, i) => i > 0 && char.IsUpper(c) ? $"_{c}" : $"{char.ToUpperInvariant(c)}"));

    public static string Of(BoundsMethod method) => method switch
    {
        BoundsMethod.LikelihoodRatio => "likelihood ratio",
        BoundsMethod.NormalApproximation => "normal approximation",
        BoundsMethod.Calibrated => "calibrated",
        BoundsMethod.Bootstrap => "bootstrap",
        _ => "exact",
    };
}
