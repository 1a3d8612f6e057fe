using Reliability.History.Events;

namespace Reliability.Store.Tests.Lives;

/// <summary>Events of modules whose hours their hosts' meters count, and of those meters.</summary>
internal static class HostFleet
{
    public static RecordedEvent Installed(string module, string host, double day, double hours, string site = "Quennick General") =>
        Scenario.Event(module, $"{module}-installed-{day}", day, new InstalledV1
        {
            HostDevice = host,
            Meter = MeterOwner.Host,
            ReadingHours = hours,
            Site = site,
        });

    public static RecordedEvent Removed(string module, double day, double hours) => Scenario.Event(
        module, $"{module}-removed-{day}", day, new RemovedV1 { Reason = RemovalReason.Planned, ReadingHours = hours });

    public static RecordedEvent Read(string host, double day, double hours) =>
        Scenario.Event(HostRecord.Key(host), $"{host}-read-{day}", day, Reading(day, hours));

    public static RecordedEvent MeterChanged(string host, double day, double final) => Scenario.Event(
        HostRecord.Key(host), $"{host}-changed-{day}", day,
        new MeterChangedV1 { Meter = MeterOwner.Host, FinalHours = final, FirstHours = 0 });

    public static RecordedEvent Retracted(string host, RecordedEvent target) => Scenario.Event(
        HostRecord.Key(host), $"{target.OriginalId}-retracted", 120,
        new RetractedV1 { TargetSource = target.Source, TargetEventId = target.OriginalId });

    /// <summary>In place of a reading another one, which may have been taken at another time.</summary>
    public static RecordedEvent Replaced(string host, RecordedEvent target, double day, double hours) => Scenario.Event(
        HostRecord.Key(host), $"{target.OriginalId}-replaced", 120,
        new ReplacedV1
        {
            TargetSource = target.Source,
            TargetEventId = target.OriginalId,
            Occurrence = Occurrence.AtInstant(Scenario.Start.AddDays(day)),
            Body = Reading(day, hours),
        });

    private static RunHoursReadV1 Reading(double day, double hours) => new()
    {
        Meter = MeterOwner.Host,
        Readings = [MeterReading.AtInstant(Scenario.Start.AddDays(day), hours)],
    };
}
