using System.Text.Json;

namespace Reliability.Reference;

/// <summary>Weibull values of a case with the shape held.</summary>
public sealed class ReferenceFixedShape(JsonElement element)
{
    public double Shape => element.GetProperty("shape").GetDouble();

    public double Failures => element.GetProperty("failures").GetDouble();

    /// <summary>Maximum-likelihood scale; null without failures.</summary>
    public double? Scale => Number("ml_scale");

    public double? LogLikelihood => Number("ml_loglik");

    /// <summary>Standard error of log scale.</summary>
    public double? StandardErrorOfLogScale => Number("se_log_scale");

    /// <summary>One-sided lower bounds of the scale, time-terminated form, by confidence.</summary>
    public IReadOnlyList<(double Confidence, double Scale)> LowerBounds
    {
        get
        {
            var lower = element.GetProperty("lower_one_sided");
            return
            [
                (0.95, lower.GetProperty("c95").GetDouble()),
                (0.90, lower.GetProperty("c90").GetDouble()),
                (1 - Math.Exp(-1), lower.GetProperty("c632").GetDouble()),
            ];
        }
    }

    /// <summary>Lower bound of the B10 life at 95 % one-sided confidence.</summary>
    public double B10Lower95 => element.GetProperty("B10_lower_c95").GetDouble();

    /// <summary>Lower bounds of reliability at 95 % one-sided confidence.</summary>
    public IReadOnlyList<(double Hours, double Reliability)> ReliabilityLower95 =>
    [
        .. element.GetProperty("reliability_lower_c95").EnumerateArray()
            .Select(e => (e.GetProperty("time").GetDouble(), e.GetProperty("value").GetDouble())),
    ];

    /// <summary>Two-sided bounds of the scale; null without failures.</summary>
    public (double Lower, double Upper)? TwoSided(ReferenceBounds bounds, double level)
    {
        var entry = element.GetProperty(
            bounds == ReferenceBounds.ExactFailureTerminated ? "two_sided_failure_terminated" : "two_sided_time_terminated");
        if (entry.ValueKind == JsonValueKind.Null)
            return null;
        var pair = entry.GetProperty(level == 0.95 ? "ci95" : "ci90");
        return (pair[0].GetDouble(), pair[1].GetDouble());
    }

    private double? Number(string key)
    {
        var value = element.GetProperty(key);
        return value.ValueKind == JsonValueKind.Null ? null : value.GetDouble();
    }
}
