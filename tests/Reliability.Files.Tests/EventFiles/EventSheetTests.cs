using Reliability.Files.EventFiles;
using Reliability.V1;
using Xunit;

namespace Reliability.Files.Tests.EventFiles;

public sealed class EventSheetTests
{
    public static TheoryData<string, string, string> Kinds() => new()
    {
        {
            "module_model,serial_number,udi,lot,refurbishment_count,refurbisher,age_hours,reading_hours,complete_from",
            "registered: lamp,S1,U1,L1,2,Vennick Works,0,300,2023-01-01",
            """
            {"registered": {"moduleModel": "moduleModels/lamp", "identifiers": [{"kind": "IDENTIFIER_KIND_SERIAL_NUMBER", "value": "S1"},
             {"kind": "IDENTIFIER_KIND_UDI", "value": "U1"}], "lot": "L1", "condition": {"refurbishmentCount": 2, "refurbisher": "Vennick Works"},
             "ageHours": 0, "readingHours": 300, "completeFrom": "2023-01-01T00:00:00Z"}}
            """
        },
        {
            "host_device,position,site,host_model,reading_hours,meter,meter_stops_at_failure,expected_hours_per_day",
            "installed: cot-7,left,Velsham Children's,cot light,1200,host,no,8",
            """
            {"installed": {"hostDevice": "cot-7", "position": "left", "site": "Velsham Children's", "hostModel": "cot light", "readingHours": 1200,
             "meter": "METER_HOST", "meterStopsAtFailure": false, "expectedHoursPerDay": 8}}
            """
        },
        { "reading_hours,meter", "run_hours_read: 1300.5,module", """{"runHoursRead": {"meter": "METER_MODULE", "readings": [{"hours": 1300.5}]}}""" },
        { "final_hours,first_hours", "Meter Changed: 1500,0", """{"meterChanged": {"finalHours": 1500, "firstHours": 0}}""" },
        { "output_fraction,reading_hours", "output_measured: 0.71,900", """{"outputMeasured": {"fraction": 0.71, "readingHours": 900}}""" },
        { "output_value", "output_measured: 28", """{"outputMeasured": {"measuredValue": 28}}""" },
        {
            "failure_mode,reading_hours,moment",
            "failed: no light,180,discovery",
            """{"failed": {"failureMode": "no light", "readingHours": 180, "moment": "FAILURE_MOMENT_DISCOVERY"}}"""
        },
        {
            "removal_reason,reading_hours,confirmed_cautions",
            "removed: recall_or_safety_notice,181,ISOLATE; COOL",
            """{"removed": {"reason": "REMOVAL_REASON_RECALL_OR_SAFETY_NOTICE", "readingHours": 181, "confirmedCautions": ["ISOLATE", "COOL"]}}"""
        },
        {
            "repairer,renewal,reading_before_hours,reading_after_hours,acceptance_output_fraction",
            "repaired: Bench 2,not renewed,181,181,0.9",
            """
            {"repaired": {"repairer": "Bench 2", "renewal": "WEARING_PART_RENEWAL_NOT_RENEWED", "readingBeforeHours": 181, "readingAfterHours": 181,
             "acceptanceOutputFraction": 0.9}}
            """
        },
        {
            "refurbisher,renewal,reading_after_hours",
            "refurbished: Second Turn Bench,renewed,0",
            """{"refurbished": {"refurbisher": "Second Turn Bench", "renewal": "WEARING_PART_RENEWAL_RENEWED", "readingAfterHours": 0}}"""
        },
        {
            "retirement_reason,disposal_route",
            "retired: worn out,maker return",
            """{"retired": {"reason": "worn out", "disposalRoute": "DISPOSAL_ROUTE_MAKER_RETURN"}}"""
        },
        {
            "target_source,target_event_id",
            "retracted: quennick-maintenance,e-9",
            """{"retracted": {"targetSource": "quennick-maintenance", "targetEventId": "e-9"}}"""
        },
        {
            "target_source,target_event_id,right_event,right_time,failure_mode,reading_hours",
            "replaced: quennick-maintenance,e-9,Failed,2024-03-04T09:00Z,no light,180",
            """
            {"replaced": {"targetSource": "quennick-maintenance", "targetEventId": "e-9", "event": {"occurTime": "2024-03-04T09:00:00Z",
             "occurPrecision": "OCCUR_PRECISION_INSTANT", "failed": {"failureMode": "no light", "readingHours": 180}}}}
            """
        },
    };

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Every_kind_of_event_is_read(string columns, string row, string expected)
    {
        string kind = row[..row.IndexOf(": ", StringComparison.Ordinal)];
        string cells = row[(row.IndexOf(": ", StringComparison.Ordinal) + 2)..];
        FileRow read = Assert.Single(Read(
            $"event_id,module,event,occur_time,{columns}\ne-1,serial:QX-1,{kind},2024-03-05T10:00Z,{cells}\n"));
        Assert.Empty(read.Problems);
        ModuleEvent whole = ModuleEvent.Parser.ParseJson(expected);
        whole.EventId = "e-1";
        whole.Source = "quennick-maintenance";
        whole.Module = "serial:QX-1";
        whole.OccurTime = read.Events[0].OccurTime;
        whole.OccurPrecision = OccurPrecision.Instant;
        Assert.Equal(whole, read.Events[0]);
    }

    [Fact]
    public void A_bare_module_is_an_id_and_a_day_a_day()
    {
        FileRow read = Assert.Single(Read("module,event,occur_time,zone,reading_hours\nlamp-1,run hours read,2024-03-05,Europe/London,7\n"));
        Assert.Equal("modules/lamp-1", read.Events[0].Module);
        Assert.Equal(OccurPrecision.Day, read.Events[0].OccurPrecision);
        Assert.Equal("Europe/London", read.Events[0].Zone);
        Assert.NotEmpty(read.Events[0].EventId);
    }

    [Theory]
    [InlineData("run_hours_read,2024-03-04,7,", "")]
    [InlineData(",2024-03-04,,", "right_event: a value is needed")]
    [InlineData("run_hours_read,,7,", "right_time: a value is needed")]
    [InlineData("run_hours_read,2024-03-04,,", "reading_hours: a value is needed")]
    [InlineData("run_hours_read,2024-03-04,7,no light", "failure_mode: an event replaced has no such value; leave it empty")]
    [InlineData("retracted,2024-03-04,,", "right_event: \"retracted\" is none of: registered, installed, ")]
    [InlineData("failled,2024-03-04,,", "right_event: \"failled\" is none of: registered, installed, ")]
    public void A_replacement_has_the_columns_of_its_right_event(string cells, string problem)
    {
        FileRow read = Assert.Single(Read(
            "module,event,occur_time,zone,target_source,target_event_id,right_event,right_time,reading_hours,failure_mode\n"
            + $"lamp-1,replaced,2024-03-05,Europe/London,quennick-maintenance,e-9,{cells}\n"));
        if (problem.Length > 0)
        {
            Assert.StartsWith(problem, Assert.Single(read.Problems).ToString(), StringComparison.Ordinal);
            return;
        }

        Assert.Empty(read.Problems);
        ModuleEvent right = Assert.Single(read.Events).Replaced.Event;
        Assert.Equal((OccurPrecision.Day, "Europe/London", 7.0), (right.OccurPrecision, right.Zone, right.RunHoursRead.Readings[0].Hours));
    }

    [Theory]
    [InlineData("lamp-1,exploded,2024-03-05,,,", "event: \"exploded\" is none of: registered, installed, run_hours_read, ")]
    [InlineData(",run_hours_read,2024-03-05,7,,", "module: a value is needed")]
    [InlineData("lamp-1,run_hours_read,,7,,", "occur_time: a value is needed")]
    [InlineData("lamp-1,run_hours_read,2024-03-05,,,", "reading_hours: a value is needed")]
    [InlineData("lamp-1,run_hours_read,2024-03-05,7,no light,", "failure_mode: an event run_hours_read has no such value; leave it empty")]
    [InlineData("lamp-1,failed,2024-03-05,7,no light,planned", "removal_reason: an event failed has no such value; leave it empty")]
    [InlineData("lamp-1,removed,2024-03-05,7,,", "removal_reason: a value is needed")]
    public void A_bad_row_says_column_and_rule(string row, string problem)
    {
        string found = Assert.Single(Assert.Single(Read("module,event,occur_time,reading_hours,failure_mode,removal_reason\n" + row + "\n")).Problems).ToString();
        Assert.StartsWith(problem, found, StringComparison.Ordinal);
    }

    [Fact]
    public void A_text_file_given_as_csv_is_refused()
    {
        FileUnusableException refusal = Assert.Throws<FileUnusableException>(() => Read("Dear colleagues,\nplease find the readings of June attached.\n"));
        Assert.Contains("line 1: the header does not fit", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void An_unknown_zone_in_a_row_is_a_problem_of_the_row()
    {
        FileRow read = Assert.Single(Read("module,event,occur_time,zone,reading_hours\nlamp-1,run_hours_read,2024-03-05,Quennick,7\n"));
        Assert.Equal(["zone: \"Quennick\" is not an IANA time zone such as Europe/London"], read.Problems.Select(problem => problem.ToString()));
    }

    [Fact]
    public void What_is_refused_of_a_file_of_refusals_stands_there_as_in_the_first_file()
    {
        const string Header = "event_id,module,event,occur_time,reading_hours,source\n";
        const string Bad = "e-1,lamp-1,run_hours_read,2024-03-05,many,\"a, b\"\n";
        string first = Refused(Header + Bad);
        Assert.Equal("refused_line,refused_reason," + Header + "2,\"reading_hours: \"\"many\"\" is not a number\"," + Bad, first);
        Assert.Equal(first, Refused(first));

        string json = "not json\n";
        string line = Refused(json, "events.jsonl");
        Assert.Equal("{\"line\":1,\"reason\":\"is not valid JSON: byte 2 of the line\",\"row\":\"not json\"}\n", line);
        Assert.Equal(line, Refused(line, "events.jsonl"));

        static string Refused(string text, string name = "events.csv")
        {
            (IReadOnlyList<FileRow> rows, RefusalLayout layout) = EventFileText.ReadWithRefusals(name, text);
            return (layout.Heading is null ? "" : layout.Heading + "\n")
                + string.Concat(rows.Select(row => layout.Row(row.Line, string.Join("; ", row.Problems), row.Original) + "\n"));
        }
    }

    private static IReadOnlyList<FileRow> Read(string text) => EventFileText.Read("events.csv", text);
}
