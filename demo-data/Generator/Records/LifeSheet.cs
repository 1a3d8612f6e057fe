using Google.Protobuf.WellKnownTypes;
using Reliability.DemoData.Scenario;
using Reliability.DemoData.Simulation;
using Reliability.V1;

namespace Reliability.DemoData.Records;

/// <summary>What a hospital with a plain sheet has: a row a life, with days instead of instants.</summary>
internal static class LifeSheet
{
    /// <summary>The lives of one hospital in order of their start, as the reports that its sheet stands for.</summary>
    public static IReadOnlyList<ModuleEvent> Of(Network network, Hospital hospital, IEnumerable<ServiceLife> lives) =>
    [
        .. lives.Where(life => life.Hospital == hospital && life.IsRecorded)
            .OrderBy(life => life.Start).ThenBy(life => life.Module.Id, StringComparer.Ordinal)
            .Select((life, index) => Event(hospital, index + 1, Row(network, life))),
    ];

    // Rows of a sheet have no ids; whoever posts them gives each one of its own.
    private static ModuleEvent Event(Hospital hospital, int number, LifeReported row) => new()
    {
        EventId = $"{hospital.Key}-{number:00000}",
        Source = hospital.Source,
        OccurTime = row.EndTime,
        OccurPrecision = OccurPrecision.Day,
        LifeReported = row,
    };

    private static LifeReported Row(Network network, ServiceLife life)
    {
        var row = new LifeReported
        {
            ModuleModel = "moduleModels/" + life.Module.Family.ModelId,
            Identifiers = { new Identifier { Kind = IdentifierKind.SerialNumber, Value = life.Module.SerialNumber } },
            Condition = new Condition { RefurbishmentCount = life.RefurbishmentCount, Refurbisher = life.Refurbisher },
            Site = life.Hospital.Name,
            HostModel = life.Module.Family.HostModel,
            Lot = life.Module.Lot,
            StartTime = DayOf(network.TimeOf(life.Start)),
            EndTime = DayOf(network.TimeOf(life.End)),
            AgeAtObservation = life.EntersLate ? life.AgeAt(life.Entry) : 0,
            AgeAtEnd = life.AgeAt(life.End),
            Outcome = LifeOutcome.Survived,
            RemovalReason = RemovalReasons.Of(life),
            CompleteFrom = Timestamp.FromDateTime(
                life.Hospital.RecordStart.ToDateTime(TimeOnly.MinValue, DateTimeKind.Utc)),
            InService = life.Outcome == LifeEnd.InService,
        };
        if (life.Outcome is not (LifeEnd.FailedAtOnce or LifeEnd.FoundFailed))
            return row;
        row.Outcome = LifeOutcome.Failed;
        row.FailureMode = life.Mode.Name;
        row.FailureMoment = life.Outcome == LifeEnd.FailedAtOnce;
        if (life.Outcome == LifeEnd.FoundFailed)
            row.AgeLastWorking = life.AgeAt(life.LastSeenWorking);
        return row;
    }

    // A day stands for itself at noon, as the command line posts it.
    private static Timestamp DayOf(DateTime time) => Timestamp.FromDateTime(time.Date.AddHours(12));
}
