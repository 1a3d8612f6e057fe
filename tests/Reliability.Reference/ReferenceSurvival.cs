using System.Text.Json;

namespace Reliability.Reference;

/// <summary>Kaplan-Meier and Nelson-Aalen values at each age of failure.</summary>
public sealed class ReferenceSurvival(JsonElement kaplanMeier, JsonElement nelsonAalen)
{
    public IReadOnlyList<double?> Hours => Numbers(kaplanMeier, "time");

    public IReadOnlyList<double?> AtRisk => Numbers(kaplanMeier, "n_risk");

    public IReadOnlyList<double?> Failures => Numbers(kaplanMeier, "n_event");

    public IReadOnlyList<double?> Reliability => Numbers(kaplanMeier, "surv");

    /// <summary>Greenwood variance of reliability; null where it is not defined.</summary>
    public IReadOnlyList<double?> ReliabilityVariance => Numbers(kaplanMeier, "var_greenwood");

    public IReadOnlyList<double?> Lower95 => Numbers(kaplanMeier, "ci95_lower_loglog");

    public IReadOnlyList<double?> Upper95 => Numbers(kaplanMeier, "ci95_upper_loglog");

    public IReadOnlyList<double?> CumulativeHazard => Numbers(nelsonAalen, "cumhaz");

    public IReadOnlyList<double?> CumulativeHazardVariance => Numbers(nelsonAalen, "var");

    private static List<double?> Numbers(JsonElement element, string key) =>
        [.. element.GetProperty(key).EnumerateArray().Select(e => e.ValueKind == JsonValueKind.Null ? (double?)null : e.GetDouble())];
}
