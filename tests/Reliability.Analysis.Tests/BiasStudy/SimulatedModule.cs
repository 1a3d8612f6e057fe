using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.Analysis.Tests.BiasStudy;

/// <summary>What is on record of one module, and as which events it is posted.</summary>
/// <param name="Id">Its id.</param>
/// <param name="InstallDay">When it was fitted, new, counted from the opening of the records; may be before.</param>
/// <param name="OpenedDay">When its record was opened.</param>
/// <param name="HoursPerDay">Its true rate of use.</param>
/// <param name="MeterAtInstall">What the host's meter showed when it was fitted, hours.</param>
/// <param name="Visits">Visits since the record was opened, the last one with the failure if it was found.</param>
/// <param name="OpenedByFailure">The record was opened only because it had failed.</param>
internal sealed record SimulatedModule(
    string Id, double InstallDay, double OpenedDay, double HoursPerDay, double MeterAtInstall, IReadOnlyList<SimulatedVisit> Visits,
    bool OpenedByFailure)
{
    private static readonly DateTimeOffset DayZero = new(2022, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>Age when the record was opened, run-hours.</summary>
    public double AgeAtOpening => OpenedDay > InstallDay ? Math.Round((OpenedDay - InstallDay) * HoursPerDay, 1) : 0;

    public ModuleRecord Record()
    {
        var events = new List<RecordedEvent>();
        void Add(double day, EventBody body) => events.Add(new()
        {
            EventId = EventIdentity.EventId("brindlemoor", "study", $"{Id}-{events.Count}"),
            OriginalId = $"{Id}-{events.Count}",
            Source = "study",
            ModuleId = Id,
            Occurrence = Occurrence.AtInstant(Time(day)),
            Body = body,
        });

        Add(OpenedDay, new RegisteredV1 { Model = Invented.Lamp, AgeHours = OpenedByFailure ? 0 : AgeAtOpening });
        Add(OpenedByFailure ? InstallDay : OpenedDay, new InstalledV1
        {
            HostDevice = $"host-{Id}",
            Site = "Velsham Children's",
            Meter = MeterOwner.Host,
            ReadingHours = OpenedByFailure ? MeterAtInstall : Math.Round(MeterAtInstall + AgeAtOpening, 1),
        });
        foreach (var visit in Visits)
        {
            if (visit.Working)
            {
                Add(visit.Day, new RunHoursReadV1 { Meter = MeterOwner.Host, Readings = [MeterReading.AtInstant(Time(visit.Day), visit.Typed)] });
            }
            else
            {
                Add(visit.Day, new FailedV1 { Mode = "no light", ReadingHours = visit.Typed, ReadingIs = visit.IsMoment ? FailureReading.Moment : FailureReading.Discovery });
                Add(visit.Day, new RemovedV1 { Reason = RemovalReason.Failed, ReadingHours = visit.Typed });
            }
        }

        return new(Id, events);
    }

    private static DateTimeOffset Time(double day) => DayZero.AddMinutes(Math.Round(day * 1440));
}
