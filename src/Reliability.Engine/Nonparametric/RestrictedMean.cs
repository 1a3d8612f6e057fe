using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Nonparametric;

/// <summary>
/// Area below the Kaplan-Meier curve up to an age limit, with variance sum of A(u)^2 d/(n (n - d)), A(u) the area from u to
/// the limit (Klein and Moeschberger 2003, 4.5).
/// </summary>
internal static class RestrictedMean
{
    /// <summary>Part of the limit below which means that the data cannot tell apart are one number (our own choice).</summary>
    private const double Negligible = 1e-6;

    public static BoundedEstimate Of(SurvivalEstimate curve, double limit)
    {
        var points = curve.Points;
        if (limit > curve.OldestHours && points is not [.., { Reliability.Value: <= 0 }])
            return Beyond(limit, curve.OldestHours);
        if (curve.Method == SurvivalMethod.Turnbull)
            return Between(points, limit);
        var count = points.TakeWhile(p => p.Hours < limit).Count();

        // In parts of the limit, so that no square leaves the range of a double; from the limit back, so that the area to
        // the right of each age is at hand when its term is due.
        double area = 0, variance = 0, right = 1;
        for (var k = count - 1; k >= 0; k--)
        {
            var left = points[k].Hours / limit;
            area += (right - left) * points[k].Reliability.Value!.Value;
            right = left;
            var (n, d) = (points[k].AtRisk!.Value, points[k].Failures!.Value);
            if (n > d)
                variance += area * (d / n) * (area / (n - d));
        }

        area += right;
        if (!(variance > 0))
        {
            return new BoundedEstimate
            {
                Value = area * limit,
                Notes = [new EngineWarning(
                    WarningCodes.NoBounds, "No failure before the limit left survivors behind: the variance is not defined.")],
            };
        }

        var error = Math.Sqrt(variance);
        var multiple = ReferenceDistributions.TwoSidedNormal(curve.ConfidenceLevel);
        return new BoundedEstimate
        {
            Value = area * limit,
            Lower = Math.Max(area - multiple * error, 0) * limit,
            Upper = Math.Min(area + multiple * error, 1) * limit,
            StandardError = error * limit,
        };
    }

    /// <summary>
    /// Turnbull's curve leaves open where it falls within its stretches: a number when that hardly matters, else an answer by words.
    /// </summary>
    private static BoundedEstimate Between(IReadOnlyList<SurvivalPoint> points, double limit)
    {
        double least = 0, most = 0, before = 1, fromLeast = 0, fromMost = 0;
        foreach (var point in points)
        {
            var early = Math.Min(point.LowerHours ?? point.Hours, limit);
            var late = Math.Min(point.Hours, limit);
            least += before * (early - fromLeast);
            most += before * (late - fromMost);
            (before, fromLeast, fromMost) = (point.Reliability.Value ?? 0, early, late);
        }

        least += before * (limit - fromLeast);
        most += before * (limit - fromMost);
        if (most - least <= Negligible * limit)
        {
            return new BoundedEstimate
            {
                Value = least + (most - least) / 2,
                Notes = [new EngineWarning(
                    WarningCodes.NoBounds, "With failures known only between two ages the variance of the restricted mean is not given.")],
            };
        }

        return new BoundedEstimate
        {
            Notes = [new EngineWarning(
                WarningCodes.NoValue,
                string.Create(CultureInfo.InvariantCulture,
                    $"Some failures are known only between two ages: the estimated curve fits a mean from {least:G8} to {most:G8} hours, ")
                + "and nothing in the data says where in between. A life model gives one number.")],
        };
    }

    private static BoundedEstimate Beyond(double limit, double oldest) => new()
    {
        Notes = [new EngineWarning(
            WarningCodes.NoValue,
            string.Create(CultureInfo.InvariantCulture,
                $"No life was watched up to {limit:G6} hours; the oldest age is {oldest:G6}. Ask for a limit no older, or fit a life model."))],
    };
}
