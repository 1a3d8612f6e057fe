using System.Globalization;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Lives that enter late make the risk set grow at first; a failure while it is small weighs on all that follows. Where all enter late,
/// the curve is that of lives which reached the first entry (Kalbfleisch and Prentice 2002, 1.6, on left truncation; section from memory).
/// </summary>
internal static class EarlyRiskSets
{
    private const double Small = 10;

    /// <summary>Warnings when nobody was watched from the start, and when some risk set before the fullest is small.</summary>
    /// <param name="sample">The lives.</param>
    /// <param name="atRisk">Lives at risk at each age at which the curve falls.</param>
    public static IEnumerable<EngineWarning> Warnings(LifeSample sample, double[] atRisk)
    {
        if (sample.EarliestEntryHours > 0)
        {
            yield return new EngineWarning(
                WarningCodes.ConditionalOnEntry,
                string.Create(CultureInfo.InvariantCulture,
                    $"No life was watched below {sample.EarliestEntryHours:G6} hours: the estimate is of lives that reached that age, as if all did."));
        }

        var fullest = Array.IndexOf(atRisk, atRisk.DefaultIfEmpty().Max());
        if (atRisk.Take(Math.Max(fullest, 0)).Any(n => n < Small))
        {
            yield return new EngineWarning(
                WarningCodes.SmallEarlyRiskSet,
                "Early failures fall where few lives were under observation; the whole curve rests on them.");
        }
    }
}
