using System.Globalization;
using CsCheck;
using Google.Protobuf;
using Google.Protobuf.WellKnownTypes;
using Reliability.Files.EventFiles;
using Reliability.V1;
using Xunit;

namespace Reliability.Files.Tests.EventFiles;

/// <summary>An event that is written into a file is the same when it is read back.</summary>
public sealed class RoundTripTests
{
    // Signs that a reader may stumble over: separators, quotation marks, what is not ASCII, what is not in the basic plane.
    private static readonly Gen<string> Text = Gen.String[Gen.Char["ab 1,;\"'é€#="], 1, 12]
        .Select(text => "t" + text.TrimEnd() + "😀");

    private static readonly Gen<double> Hours = Gen.Double[0, 1e6];

    private static readonly Gen<Timestamp> Instant =
        Gen.Long[0, 1_800_000_000].Select(seconds => new Timestamp { Seconds = seconds });

    private static readonly Gen<ModuleEvent> AnyEvent = Gen.Select(Gen.Int[0, 6], Text, Text, Hours, Instant, (kind, text, other, hours, time) =>
    {
        ModuleEvent said = new()
        {
            EventId = text,
            Source = other,
            Module = "serial:" + text,
            OccurTime = time,
            OccurPrecision = OccurPrecision.Instant,
            Note = other,
            ActorId = text,
        };
        switch (kind)
        {
            case 0:
                said.Registered = new Registered
                {
                    ModuleModel = "moduleModels/lamp",
                    Lot = text,
                    AgeHours = hours,
                    Condition = new Condition { RefurbishmentCount = 2, Refurbisher = other },
                    Identifiers = { new Identifier { Kind = IdentifierKind.SerialNumber, Value = text } },
                };
                break;
            case 1:
                said.Installed = new Installed { HostDevice = text, Site = other, ReadingHours = hours, Meter = Meter.Host, MeterStopsAtFailure = false };
                break;
            case 2:
                said.RunHoursRead = new RunHoursRead { Readings = { new MeterReading { Hours = hours } } };
                break;
            case 3:
                said.Failed = new Failed { FailureMode = text, ReadingHours = hours, Moment = FailureMoment.Discovery };
                break;
            case 4:
                said.Removed = new Removed { Reason = RemovalReason.HostRetired, ReadingHours = hours };
                break;
            case 5:
                said.Refurbished = new Refurbished { Refurbisher = other, Renewal = WearingPartRenewal.NotRenewed, ReadingAfterHours = hours };
                break;
            default:
                said.Retracted = new Retracted { TargetSource = other, TargetEventId = text };
                break;
        }
        return said;
    });

    [Fact]
    public void As_a_line_of_json() => AnyEvent.Array[1, 5].Sample(
        events => Same(events, EventFileText.Read("events.jsonl", string.Concat(events.Select(said => JsonFormatter.Default.Format(said) + "\n")))),
        iter: 300);

    [Fact]
    public void As_a_row_of_a_sheet() => AnyEvent.Array[1, 5].Sample(
        events =>
        {
            List<Dictionary<string, string>> rows = [.. events.Select(Row)];
            string[] columns = [.. rows.SelectMany(row => row.Keys).Distinct()];
            string sheet = string.Join(',', columns) + "\n" + string.Concat(rows.Select(row =>
                string.Join(',', columns.Select(column => Cell(row.GetValueOrDefault(column, "")))) + "\r\n"));
            Same(events, EventFileText.Read("events.csv", sheet));
        },
        iter: 300);

    private static void Same(ModuleEvent[] written, IReadOnlyList<FileRow> rows)
    {
        Assert.Empty(rows.SelectMany(row => row.Problems));
        Assert.Equal(written, rows.Select(row => Assert.Single(row.Events)));
    }

    // RFC 4180, section 2.
    private static string Cell(string value) => $"\"{value.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";

    private static Dictionary<string, string> Row(ModuleEvent said)
    {
        Dictionary<string, string> row = new()
        {
            ["event_id"] = said.EventId,
            ["source"] = said.Source,
            ["module"] = said.Module,
            ["occur_time"] = said.OccurTime.ToDateTime().ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture),
            ["note"] = said.Note,
            ["actor_id"] = said.ActorId,
        };
        void Add(string kind, params (string Column, string Value)[] cells)
        {
            row["event"] = kind;
            foreach ((string column, string value) in cells)
                row[column] = value;
        }

        switch (said.EventCase)
        {
            case ModuleEvent.EventOneofCase.Registered:
                Add("registered", ("module_model", "lamp"), ("lot", said.Registered.Lot), ("age_hours", Number(said.Registered.AgeHours)),
                    ("refurbishment_count", "2"), ("refurbisher", said.Registered.Condition.Refurbisher), ("serial_number", said.Registered.Identifiers[0].Value));
                break;
            case ModuleEvent.EventOneofCase.Installed:
                Add("installed", ("host_device", said.Installed.HostDevice), ("site", said.Installed.Site),
                    ("reading_hours", Number(said.Installed.ReadingHours)), ("meter", "host"), ("meter_stops_at_failure", "no"));
                break;
            case ModuleEvent.EventOneofCase.RunHoursRead:
                Add("run_hours_read", ("reading_hours", Number(said.RunHoursRead.Readings[0].Hours)));
                break;
            case ModuleEvent.EventOneofCase.Failed:
                Add("failed", ("failure_mode", said.Failed.FailureMode), ("reading_hours", Number(said.Failed.ReadingHours)), ("moment", "discovery"));
                break;
            case ModuleEvent.EventOneofCase.Removed:
                Add("removed", ("removal_reason", "Host-Retired"), ("reading_hours", Number(said.Removed.ReadingHours)));
                break;
            case ModuleEvent.EventOneofCase.Refurbished:
                Add("refurbished", ("refurbisher", said.Refurbished.Refurbisher), ("renewal", "not renewed"),
                    ("reading_after_hours", Number(said.Refurbished.ReadingAfterHours)));
                break;
            default:
                Add("retracted", ("target_source", said.Retracted.TargetSource), ("target_event_id", said.Retracted.TargetEventId));
                break;
        }
        return row;
    }

    private static string Number(double hours) => hours.ToString("R", CultureInfo.InvariantCulture);
}
