using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Nonparametric;

/// <summary>Lives that enter late make the risk set grow at first; a failure while it is small weighs on all that follows.</summary>
internal static class EarlyRiskSets
{
    private const double Small = 10;

    /// <summary>A warning when some risk set before the fullest is small.</summary>
    /// <param name="atRisk">Lives at risk at each age at which the curve falls.</param>
    public static IEnumerable<EngineWarning> Warnings(double[] atRisk)
    {
        var fullest = Array.IndexOf(atRisk, atRisk.DefaultIfEmpty().Max());
        if (atRisk.Take(Math.Max(fullest, 0)).Any(n => n < Small))
        {
            yield return new EngineWarning(
                WarningCodes.SmallEarlyRiskSet,
                "Early failures fall where few lives were under observation; the whole curve rests on them.");
        }
    }
}
