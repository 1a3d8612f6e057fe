using System.Diagnostics;
using System.Diagnostics.Metrics;

namespace Reliability.Service.Telemetry;

/// <summary>
/// Traces and metrics of our own work. Tags hold kinds, counts and codes: never a note, an actor, an identifier or a
/// name typed by people.
/// </summary>
internal static class ServiceTelemetry
{
    /// <summary>Name of the source of traces and of the meter for fits, comparisons and predictions.</summary>
    public const string AnalysisName = "Reliability.Analysis";

    /// <summary>Name of the source of traces and of the meter for what is posted.</summary>
    public const string ServiceName = "Reliability.Service";

    public static ActivitySource Analysis { get; } = new(AnalysisName);

    public static ActivitySource Service { get; } = new(ServiceName);

    private static readonly Meter AnalysisMeter = new(AnalysisName);
    private static readonly Meter ServiceMeter = new(ServiceName);

    /// <summary>Seconds a piece of analysis took, by kind and outcome.</summary>
    public static Histogram<double> AnalysisDuration { get; } = AnalysisMeter.CreateHistogram<double>(
        "reliability.analysis.duration", "s", "Time a fit, estimate, comparison or prediction took.");

    /// <summary>Events posted, by outcome.</summary>
    public static Counter<long> PostedEvents { get; } = ServiceMeter.CreateCounter<long>(
        "reliability.events.posted", "{event}", "Events posted, by outcome: recorded, duplicate, unresolved, refused.");
}
