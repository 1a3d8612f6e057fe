using Reliability.History.Events;

namespace Reliability.History.Tests.Properties;

/// <summary>Multiplies all hours of an event, and all times since the origin, by one factor.</summary>
internal static class Stretch
{
    public static RecordedEvent By(double factor, RecordedEvent recorded) =>
        recorded with { Occurrence = By(factor, recorded.Occurrence), Body = By(factor, recorded.Body) };

    private static EventBody By(double factor, EventBody body) => body switch
    {
        RegisteredV1 b => b with
        {
            AgeHours = factor * b.AgeHours,
            TotalHours = factor * b.TotalHours,
            ReadingHours = factor * b.ReadingHours,
            CompleteFrom = b.CompleteFrom is { } from ? By(factor, from) : null,
        },
        InstalledV1 b => b with { ReadingHours = factor * b.ReadingHours },
        RunHoursReadV1 b => b with
        {
            Readings =
            [
                .. b.Readings.Select(r => new MeterReading
                {
                    Earliest = By(factor, r.Earliest),
                    Latest = By(factor, r.Latest),
                    Hours = factor * r.Hours,
                }),
            ],
        },
        MeterChangedV1 b => b with { FinalHours = factor * b.FinalHours, FirstHours = factor * b.FirstHours },
        OutputMeasuredV1 b => b with { ReadingHours = factor * b.ReadingHours },
        FailedV1 b => b with { ReadingHours = factor * b.ReadingHours },
        RemovedV1 b => b with { ReadingHours = factor * b.ReadingHours },
        RepairedV1 b => b with
        {
            ReadingBeforeHours = factor * b.ReadingBeforeHours,
            ReadingAfterHours = factor * b.ReadingAfterHours,
        },
        RefurbishedV1 b => b with
        {
            ReadingBeforeHours = factor * b.ReadingBeforeHours,
            ReadingAfterHours = factor * b.ReadingAfterHours,
        },
        LifeReportedV1 b => b with
        {
            Start = By(factor, b.Start),
            End = By(factor, b.End),
            AgeAtObservationHours = factor * b.AgeAtObservationHours,
            AgeAtEndHours = factor * b.AgeAtEndHours,
            AgeLastWorkingHours = factor * b.AgeLastWorkingHours,
            CompleteFrom = b.CompleteFrom is { } from ? By(factor, from) : null,
        },
        ReplacedV1 b => b with { Occurrence = By(factor, b.Occurrence), Body = By(factor, b.Body) },
        _ => body,
    };

    private static Occurrence By(double factor, Occurrence when) =>
        when with { Earliest = By(factor, when.Earliest), Latest = By(factor, when.Latest) };

    private static DateTimeOffset By(double factor, DateTimeOffset time) =>
        Scenario.History.Origin.AddTicks((long)(factor * (time - Scenario.History.Origin).Ticks));
}
