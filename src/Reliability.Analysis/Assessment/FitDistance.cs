using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Distances between a fitted distribution and the Kaplan-Meier estimate of the same lives, over the ages at which
/// failures were seen: Kolmogorov's and Anderson and Darling's (1952) with the product-limit estimate in place of the
/// empirical distribution (Lawless 2003, 10.2, from memory; without tables, the reference is simulated). Beyond the last failure nothing is
/// compared, so that even without survivors Anderson and Darling's is not the one of tables.
/// </summary>
internal static class FitDistance
{
    /// <summary>Both distances; null when nothing failed or the fitted distribution is flat there.</summary>
    /// <param name="points">The Kaplan-Meier estimate.</param>
    /// <param name="family">The distribution.</param>
    /// <param name="parameters">Its parameters.</param>
    /// <param name="lives">Lives in the sample.</param>
    /// <param name="entryHours">Age of the first entry; above 0 both distributions are those of lives that reached it.</param>
    public static (double AndersonDarling, double Kolmogorov)? Of(
        IReadOnlyList<SurvivalPoint> points, ILifeFamily family, ReadOnlySpan<double> parameters, double lives,
        double entryHours)
    {
        if (points.Count == 0)
            return null;
        var hours = points.Select(p => p.Hours).ToArray();
        var logs = new double[hours.Length];
        family.LogSurvival(parameters, hours, logs);
        if (entryHours > 0)
        {
            var reached = new double[1];
            family.LogSurvival(parameters, [entryHours], reached);
            for (var i = 0; i < logs.Length; i++)
                logs[i] = Math.Min(logs[i] - reached[0], 0);
        }

        double squares = 0, greatest = 0, failedBefore = 0, at = 0, survivedAt = 1;
        for (var i = 0; i < hours.Length; i++)
        {
            var survived = Math.Exp(logs[i]);
            var failed = logs[i] > -0.1 ? -Expm1(logs[i]) : 1 - survived;
            if (double.IsNaN(failed))
                return null;

            // Between two failures the estimate is level at c: the integral of (c - u)^2 / (u (1 - u)).
            var c = failedBefore;
            if (failed > at)
            {
                squares -= failed - at;
                if (c > 0)
                    squares += at > 0 ? c * c * Math.Log(failed / at) : 0;
                if (c < 1 && survived > 0)
                    squares -= (1 - c) * (1 - c) * Math.Log(survived / survivedAt);
            }

            var after = 1 - (points[i].Reliability.Value ?? 0);
            greatest = Math.Max(greatest, Math.Max(Math.Abs(failed - c), Math.Abs(failed - after)));
            (failedBefore, at, survivedAt) = (after, failed, survived);
        }

        var (ad, ks) = (lives * squares, Math.Sqrt(lives) * greatest);
        return double.IsFinite(ad) && double.IsFinite(ks) ? (ad, ks) : null;
    }

    /// <summary>exp(x) - 1 for small x.</summary>
    private static double Expm1(double x)
    {
        var u = Math.Exp(x);
        return u == 1 ? x : (u - 1) * (x / Math.Log(u));
    }
}
