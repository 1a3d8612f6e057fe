using System.Text.Json;

namespace Reliability.Reference;

/// <summary>The mean cumulative function of recurrent replacements at each age at which there were some.</summary>
public sealed class ReferenceMeanCumulative(JsonElement element)
{
    public IReadOnlyList<double> Hours => Numbers("time");

    public IReadOnlyList<double> AtRisk => Numbers("n_risk");

    public IReadOnlyList<double> Replacements => Numbers("n_event");

    public IReadOnlyList<double> Mean => Numbers("mcf");

    /// <summary>Robust variance (Lawless and Nadeau 1995).</summary>
    public IReadOnlyList<double> Variance => Numbers("var_robust");

    private List<double> Numbers(string key) => [.. element.GetProperty(key).EnumerateArray().Select(e => e.GetDouble())];
}
