using System.Text.Json;

namespace Reliability.Reference;

/// <summary>Fits of one Weibull a failure mode, and of all together.</summary>
public sealed class ReferenceCompeting(JsonElement element)
{
    private readonly JsonElement _system = element.GetProperty("series_system");

    /// <summary>The fit of each mode, failures of the others as survivors.</summary>
    public IReadOnlyList<(string Mode, ReferenceFit Fit)> Modes =>
        [.. element.GetProperty("cause_specific_weibull").EnumerateObject().Select(mode => (mode.Name, new ReferenceFit("weibull", mode.Value)))];

    public double LogLikelihood => _system.GetProperty("loglik").GetDouble();

    /// <summary>Reliability of the whole by age.</summary>
    public IReadOnlyList<(double Hours, double Value)> Reliability =>
        [.. _system.GetProperty("reliability").EnumerateArray().Select(e => (e.GetProperty("time").GetDouble(), e.GetProperty("value").GetDouble()))];

    /// <summary>Fractions failed by age and mode.</summary>
    public IReadOnlyList<(double Hours, string Mode, double Value)> Incidences =>
    [
        .. _system.GetProperty("cumulative_incidence").EnumerateArray().SelectMany(e => e.EnumerateObject().Where(p => p.Name != "time")
            .Select(p => (e.GetProperty("time").GetDouble(), p.Name, p.Value.GetDouble()))),
    ];
}
