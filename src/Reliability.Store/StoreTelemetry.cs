using System.Diagnostics;
using System.Diagnostics.Metrics;

namespace Reliability.Store;

/// <summary>Traces and metrics of the store. Beside them Marten and Npgsql tell their own.</summary>
public static class StoreTelemetry
{
    /// <summary>Name of the activity source and of the meter.</summary>
    public const string Name = "Reliability.Store";

    internal static readonly ActivitySource Source = new(Name);

    private static readonly Meter Meter = new(Name);

    internal static readonly Histogram<int> WindowEvents = Meter.CreateHistogram<int>(
        "reliability.store.window.events", "{event}", "Events committed together.");

    internal static readonly Histogram<double> WindowDuration = Meter.CreateHistogram<double>(
        "reliability.store.window.duration", "s", "Time from the start of a commit to its end, attempts included.");

    internal static readonly Counter<long> WindowRetries = Meter.CreateCounter<long>(
        "reliability.store.window.retries", "{attempt}", "Commits tried again after a passing failure.");

    internal static readonly Counter<long> EventsRecorded = Meter.CreateCounter<long>(
        "reliability.store.events.recorded", "{event}", "Events that went into the log.");

    internal static readonly Counter<long> EventsRepeated = Meter.CreateCounter<long>(
        "reliability.store.events.repeated", "{event}", "Posted events that were in the log already.");

    internal static readonly Counter<long> EventsRefused = Meter.CreateCounter<long>(
        "reliability.store.events.refused", "{event}", "Posted events whose id is in the log with another body.");

    internal static readonly Counter<long> ModulesDerived = Meter.CreateCounter<long>(
        "reliability.store.modules.derived", "{module}", "Modules whose lives were derived anew.");

    internal static readonly Counter<long> ModulesContinued = Meter.CreateCounter<long>(
        "reliability.store.modules.continued", "{module}", "Modules whose lives were gone on with by further readings.");

    internal static readonly Counter<long> ModulesFailed = Meter.CreateCounter<long>(
        "reliability.store.modules.failed", "{module}", "Modules whose lives could not be derived.");
}
