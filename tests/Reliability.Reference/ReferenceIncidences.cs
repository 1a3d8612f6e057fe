using System.Text.Json;

namespace Reliability.Reference;

/// <summary>Cumulative incidences of a case by failure mode (Aalen-Johansen).</summary>
public sealed class ReferenceIncidences(JsonElement element)
{
    public IReadOnlyList<double> Hours => Numbers(element.GetProperty("time"));

    /// <summary>Incidence of a mode and its standard error at each of <see cref="Hours"/>.</summary>
    public (IReadOnlyList<double> Incidence, IReadOnlyList<double> StandardError) Of(string mode)
    {
        var values = element.GetProperty("mode_" + mode);
        return (Numbers(values.GetProperty("cif")), Numbers(values.GetProperty("se_survfit")));
    }

    private static List<double> Numbers(JsonElement list) => [.. list.EnumerateArray().Select(e => e.GetDouble())];
}
