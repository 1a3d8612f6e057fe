using Google.Protobuf.WellKnownTypes;
using Reliability.Cli.Answers;
using Reliability.Cli.Catalog;
using Reliability.Files;
using Reliability.V1;

namespace Reliability.Cli.Modules;

/// <summary>What an event tells, in a few words.</summary>
internal static class EventText
{
    /// <summary>The words.</summary>
    public static string Of(ModuleEvent posted) => posted.EventCase switch
    {
        ModuleEvent.EventOneofCase.Registered => Join(
            ModelTables.Id(posted.Registered.ModuleModel),
            ModuleTables.Condition(posted.Registered.Condition ?? new Condition()),
            posted.Registered.HasAgeHours ? $"age {NumberText.Of(posted.Registered.AgeHours)} h" : "age unknown",
            Reading(posted.Registered.HasReadingHours, posted.Registered.ReadingHours)),
        ModuleEvent.EventOneofCase.Installed => Join(
            posted.Installed.HostDevice,
            posted.Installed.Position,
            posted.Installed.Site,
            Reading(posted.Installed.HasReadingHours, posted.Installed.ReadingHours)),
        ModuleEvent.EventOneofCase.RunHoursRead => Readings(posted.RunHoursRead),
        ModuleEvent.EventOneofCase.MeterChanged =>
            $"from {NumberText.Of(posted.MeterChanged.FinalHours)} h to {NumberText.Of(posted.MeterChanged.FirstHours)} h",
        ModuleEvent.EventOneofCase.OutputMeasured => Join(
            posted.OutputMeasured.OutputCase == OutputMeasured.OutputOneofCase.Fraction
                ? $"{NumberText.Percent(posted.OutputMeasured.Fraction)} of new"
                : NumberText.Of(posted.OutputMeasured.MeasuredValue),
            Reading(posted.OutputMeasured.HasReadingHours, posted.OutputMeasured.ReadingHours)),
        ModuleEvent.EventOneofCase.Failed => Join(
            posted.Failed.FailureMode,
            posted.Failed.Moment == FailureMoment.Failure ? "at that moment" : "found then",
            Reading(posted.Failed.HasReadingHours, posted.Failed.ReadingHours)),
        ModuleEvent.EventOneofCase.Removed => Join(
            ContractWords.Of(posted.Removed.Reason),
            Reading(posted.Removed.HasReadingHours, posted.Removed.ReadingHours)),
        ModuleEvent.EventOneofCase.Repaired => Join(posted.Repaired.Repairer, Renewal(posted.Repaired.Renewal)),
        ModuleEvent.EventOneofCase.Refurbished => Join(posted.Refurbished.Refurbisher, Renewal(posted.Refurbished.Renewal)),
        ModuleEvent.EventOneofCase.Retired => Join(posted.Retired.Reason, ContractWords.Of(posted.Retired.DisposalRoute)),
        ModuleEvent.EventOneofCase.Retracted => $"takes back {posted.Retracted.TargetSource} {posted.Retracted.TargetEventId}",
        ModuleEvent.EventOneofCase.Replaced => Join(
            $"puts right {posted.Replaced.TargetSource} {posted.Replaced.TargetEventId}", EventKind.Of(posted.Replaced.Event), Of(posted.Replaced.Event)),
        ModuleEvent.EventOneofCase.LifeReported => Life(posted.LifeReported),
        _ => "",
    };

    private static string Life(LifeReported life) => Join(
        ModelTables.Id(life.ModuleModel),
        ModuleTables.Condition(life.Condition ?? new Condition()),
        $"{NumberText.Day(life.StartTime)} to {NumberText.Day(life.EndTime)}",
        life.HasAgeLastWorking && life.Outcome == LifeOutcome.Failed && !life.FailureMoment
            ? $"failed between {NumberText.Of(life.AgeLastWorking)} h and {NumberText.Of(life.AgeAtEnd)} h"
            : $"{ContractWords.Of(life.Outcome)} {(life.Outcome == LifeOutcome.Failed && !life.FailureMoment ? "by " : "at ")}{NumberText.Of(life.AgeAtEnd)} h",
        ContractWords.Of(life.RemovalReason));

    private static string Readings(RunHoursRead read)
    {
        string meter = read.Meter == Meter.Host ? "host's meter" : "";
        return read.Readings.Count == 1
            ? Join($"{NumberText.Of(read.Readings[0].Hours)} h", meter)
            : Join($"{read.Readings.Count} readings up to {NumberText.Of(read.Readings.Max(reading => reading.Hours))} h",
                Until(read.Readings.Select(reading => reading.ReadTime).LastOrDefault(time => time is not null)), meter);
    }

    private static string Until(Timestamp? time) => time is null ? "" : $"until {NumberText.Day(time)}";

    private static string Reading(bool present, double hours) => present ? $"reading {NumberText.Of(hours)} h" : "";

    private static string Renewal(WearingPartRenewal renewal) => renewal switch
    {
        WearingPartRenewal.Renewed => "wearing part renewed",
        WearingPartRenewal.NotRenewed => "wearing part not renewed",
        _ => "unknown whether the wearing part was renewed",
    };

    private static string Join(params string[] parts) => string.Join(", ", parts.Where(part => part.Length > 0));
}
