using Reliability.Files.EventFiles;
using Reliability.Files.Mappings;
using Reliability.V1;
using Xunit;

namespace Reliability.Files.Tests.Mappings;

/// <summary>Rows of an invented maintenance export become events.</summary>
public sealed class MappingTests
{
    private const string WorkOrders = """
        {
          "description": "Work orders of Velsham Children's",
          "delimiter": ";",
          "encoding": "iso-8859-1",
          "decimal_comma": true,
          "thousands": ".",
          "date_formats": ["dd.MM.yyyy HH:mm", "dd.MM.yyyy"],
          "constants": { "source": "velsham-workorders", "zone": "Europe/London" },
          "tables": {
            "reasons": { "X1": "failed", "X2": "low output", "X3": "rated hours reached", "": "other" },
            "sites": { "VC": "Velsham Children's", "??": null }
          },
          "rows": [
            { "when": { "Typ": ["NOTE"] }, "ignore": "a remark" },
            { "when": { "Typ": ["SWAP"] },
              "events": [
                { "event": "removed", "when": { "Out": { "not": [""] } },
                  "fields": {
                    "event_id": { "column": "No", "suffix": "-out" },
                    "module": { "column": "Out", "prefix": "serial:" },
                    "occur_time": { "columns": ["Day", "Time"] },
                    "removal_reason": { "column": "Why", "table": "reasons" },
                    "reading_hours": "Hours out" } },
                { "event": "installed", "when": { "In": { "not": [""] } },
                  "fields": {
                    "event_id": { "column": "No", "suffix": "-in" },
                    "module": { "column": "In", "prefix": "serial:" },
                    "occur_time": { "columns": ["Day", "Time"] },
                    "host_device": "Gerät",
                    "site": { "column": "Place", "table": "sites" },
                    "meter": { "value": "host" } } }
              ] },
            { "when": { "Typ": ["READ"] },
              "events": [
                { "event": "run_hours_read",
                  "fields": { "module": { "column": "Out", "prefix": "serial:" }, "occur_time": { "columns": ["Day", "Time"] }, "reading_hours": "Hours out" } }
              ] }
          ]
        }
        """;

    private const string Header = "No;Typ;Day;Time;Out;In;Gerät;Place;Why;Hours out;Remark\n";

    private static readonly System.Text.Encoding Latin1 = System.Text.Encoding.Latin1;

    [Fact]
    public void A_correction_of_the_export_is_a_replacement()
    {
        const string Corrections = """
            {"constants": {"source": "velsham-workorders", "zone": "Europe/London", "target_source": "velsham-workorders"},
             "rows": [{"when": {"Typ": ["FIX"]}, "events": [{"event": "replaced", "fields": {
               "event_id": "No", "module": {"column": "Out", "prefix": "serial:"}, "occur_time": "Day", "target_event_id": "Wrong",
               "right_event": {"value": "run_hours_read"}, "right_time": "Read", "reading_hours": "Hours"}}]}]}
            """;
        FileRow row = Assert.Single(MappedText.Read(Corrections, "No,Typ,Day,Out,Wrong,Read,Hours\n9,FIX,2024-03-09,A1,71-out,2024-03-05,1203.5\n").Rows);
        Assert.Empty(row.Problems);
        ModuleEvent said = Assert.Single(row.Events);
        Assert.Equal(("9", "71-out", "velsham-workorders"), (said.EventId, said.Replaced.TargetEventId, said.Replaced.TargetSource));
        Assert.Equal(
            (OccurPrecision.Day, "Europe/London", 1203.5),
            (said.Replaced.Event.OccurPrecision, said.Replaced.Event.Zone, said.Replaced.Event.RunHoursRead.Readings[0].Hours));
    }

    [Fact]
    public void A_work_order_that_changes_a_module_is_two_events()
    {
        FileRow row = Assert.Single(Read("71;SWAP;05.03.2024;09:30;A1;B2;Höhe 3;VC;X2;1.203,5;\n").Rows);
        Assert.Empty(row.Problems);
        Assert.Equal(2, row.Events.Count);
        Assert.Equal(
            ModuleEvent.Parser.ParseJson("""
                {"eventId": "71-out", "source": "velsham-workorders", "module": "serial:A1", "occurTime": "2024-03-05T09:30:00Z", "zone": "Europe/London",
                 "occurPrecision": "OCCUR_PRECISION_INSTANT", "removed": {"reason": "REMOVAL_REASON_LOW_OUTPUT", "readingHours": 1203.5}}
                """),
            row.Events[0]);
        Assert.Equal(
            ModuleEvent.Parser.ParseJson("""
                {"eventId": "71-in", "source": "velsham-workorders", "module": "serial:B2", "occurTime": "2024-03-05T09:30:00Z", "zone": "Europe/London",
                 "occurPrecision": "OCCUR_PRECISION_INSTANT",
                 "installed": {"hostDevice": "Höhe 3", "site": "Velsham Children's", "meter": "METER_HOST"}}
                """),
            row.Events[1]);
    }

    [Fact]
    public void An_event_whose_condition_does_not_hold_is_not_said_and_codes_may_stand_for_nothing()
    {
        FileRow row = Assert.Single(Read("72;SWAP;05.03.2024;;;B2;cot 3;??;;;\n").Rows);
        Assert.Empty(row.Problems);
        ModuleEvent installed = Assert.Single(row.Events);
        Assert.Equal(("72-in", "", OccurPrecision.Day), (installed.EventId, installed.Installed.Site, installed.OccurPrecision));
        // Noon of the day in London, where it is winter.
        Assert.Equal("2024-03-05T12:00:00Z", installed.OccurTime.ToDateTime().ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", System.Globalization.CultureInfo.InvariantCulture));
    }

    [Fact]
    public void Ignored_rows_are_told_with_the_reason_and_counted()
    {
        (IReadOnlyList<FileRow> rows, MappingTally tally, _) = Read("1;NOTE;;;;;;;;;x\n2;NOTE;;;;;;;;;y\n");
        Assert.Equal(["a remark", "a remark"], rows.Select(row => row.Ignored));
        Assert.All(rows, row => Assert.Empty(row.Problems));
        Assert.Equal(new Dictionary<string, long> { ["a remark"] = 2 }, tally.Ignored);
    }

    [Fact]
    public void Unknown_codes_reject_the_row_and_are_counted_so_that_the_table_can_be_extended()
    {
        (IReadOnlyList<FileRow> rows, MappingTally tally, _) = Read(
            "1;SWAP;05.03.2024;;A1;;;;X9;5;\n2;SWAP;05.03.2024;;A2;;;;X9;5;\n3;SWAP;05.03.2024;;A3;;;;Y;5;\n4;SWOP;05.03.2024;;A3;;;;X1;5;\n");
        Assert.All(rows, row => Assert.Empty(row.Events));
        Assert.Equal("Why (removal_reason): code \"X9\" is not in tables.reasons", Assert.Single(rows[0].Problems).ToString());
        Assert.Equal("rows: no rule of the mapping takes the row: Typ = \"SWOP\"", Assert.Single(rows[3].Problems).ToString());
        Assert.Equal(
            [(new UnknownCode("Why", "reasons", "X9"), 2L), (new UnknownCode("Typ", "", "SWOP"), 1L), (new UnknownCode("Why", "reasons", "Y"), 1L)],
            tally.UnknownCodes.Select(pair => (pair.Key, pair.Value)));
    }

    [Theory]
    [InlineData("1;SWAP;05.03.2024;;A1;B2;cot;VC;X1;12,5 h;", "Hours out (reading_hours): \"12,5 h\" is not a number with a decimal comma and \".\" between thousands")]
    [InlineData("1;SWAP;05.03.2024;;A1;B2;cot;VC;X1;1.20,5;", "Hours out (reading_hours): \"1.20,5\" is not a number with a decimal comma and \".\" between thousands")]
    [InlineData("1;SWAP;31.02.2024;;A1;B2;cot;VC;X1;12;", "Day Time (occur_time): \"31.02.2024\" is not written as dd.MM.yyyy HH:mm or dd.MM.yyyy")]
    [InlineData("1;SWAP;;;A1;;;;X1;12;", "Day Time (occur_time): a value is needed")]
    [InlineData("1;SWAP;05.03.2024;;A1;B2;;VC;X1;12;", "Gerät (host_device): a value is needed")]
    [InlineData("1;SWAP;05.03.2024;;=A1;;;;X1;12;", null)]
    [InlineData("1;SWAP;31.03.2024;01:30;A1;;;;X1;12;", "Day Time (occur_time): \"2024-03-31T01:30:00\" does not exist in Europe/London: the clocks were put on then; give an offset")]
    [InlineData("1;SWAP;27.10.2024;01:30;A1;;;;X1;12;", "Day Time (occur_time): \"2024-10-27T01:30:00\" happened twice in Europe/London: the clocks were put back then; give an offset")]
    [InlineData("1;SWAP;05.03.2024;;;;;;X1;12;", "rows[1]: the rule takes the row, but none of its events applies")]
    public void A_bad_row_is_told_by_the_columns_of_the_file_and_none_of_it_is_posted(string row, string? expected)
    {
        FileRow read = Assert.Single(Read(row + "\n").Rows);
        if (expected is null)
        {
            // A prefix makes a plain text of it: serial:=A1 is no formula any more.
            Assert.Equal("serial:=A1", Assert.Single(read.Events).Module);
            return;
        }
        Assert.Empty(read.Events);
        Assert.Equal([expected], read.Problems.Select(problem => problem.ToString()));
    }

    [Fact]
    public void Ids_come_from_content_where_the_file_has_none_and_stay_when_tables_grow()
    {
        const string Rows = "1;READ;05.03.2024;;A1;;;;;5;\n2;READ;05.03.2024;;A1;;;;;5;\n3;READ;06.03.2024;;A1;;;;;6;\n";
        string[] ids = Ids(WorkOrders, Rows);
        Assert.Equal(3, ids.Distinct().Count());
        Assert.Equal(ids, Ids(WorkOrders.Replace("\"X3\"", "\"X4\": \"planned\", \"X3\"", StringComparison.Ordinal), Rows));
        // A row of our own sheet that says the same has the same id: there is one rule for ids.
        string own = "event,module,occur_time,zone,reading_hours\nrun_hours_read,serial:A1,2024-03-05,Europe/London,5\n";
        Assert.Equal(ids[0], EventFiles.EventFileText.Read("own.csv", own)[0].Events[0].EventId);
    }

    [Fact]
    public void Refused_rows_are_written_in_the_form_of_the_file_and_can_be_posted_with_the_same_mapping()
    {
        (IReadOnlyList<FileRow> rows, _, RefusalLayout layout) = Read("1;SWAP;05.03.2024;;A1;;Gerät;;X9;5;\n");
        string refused = layout.Heading + "\n" + layout.Row(rows[0].Line, rows[0].Problems[0].ToString(), rows[0].Original) + "\n";
        Assert.StartsWith("refused_line;refused_reason;No;Typ;Day", refused, StringComparison.Ordinal);
        (IReadOnlyList<FileRow> again, _, _) = MappedText.Read(WorkOrders, refused.Replace(";X9;", ";X1;", StringComparison.Ordinal), encoding: Latin1);
        Assert.Equal("1-out", Assert.Single(Assert.Single(again).Events).EventId);
    }

    [Fact]
    public void Lives_can_be_mapped_and_only_the_day_of_a_time_believed()
    {
        const string Lives = """
            { "precision": "day", "date_formats": ["dd/MM/yyyy HH:mm:ss"], "constants": { "complete_from": "2020-01-01" },
              "tables": { "ends": { "D": "failed", "A": "survived" } },
              "rows": [ { "events": [ { "event": "life", "fields": {
                "module_model": { "value": "infusion-drive" }, "asset_number": "Tag", "start_date": "From", "end_date": "To",
                "age_at_end": "Hrs", "outcome": { "column": "End", "table": "ends" } } } ] } ] }
            """;
        FileRow row = Assert.Single(MappedText.Read(Lives, "Tag,From,To,Hrs,End\nT-7,02/01/2021 00:00:00,03/12/2022 23:59:59,812.5,D\n").Rows);
        Assert.Empty(row.Problems);
        ModuleEvent life = Assert.Single(row.Events);
        Assert.Equal(OccurPrecision.Day, life.OccurPrecision);
        Assert.Equal(new DateTime(2021, 1, 2, 12, 0, 0, DateTimeKind.Utc), life.LifeReported.StartTime.ToDateTime());
        Assert.Equal(new DateTime(2022, 12, 3, 12, 0, 0, DateTimeKind.Utc), life.LifeReported.EndTime.ToDateTime());
        Assert.Equal((LifeOutcome.Failed, 812.5), (life.LifeReported.Outcome, life.LifeReported.AgeAtEnd));
    }

    private static (IReadOnlyList<FileRow> Rows, MappingTally Tally, RefusalLayout Layout) Read(string rows) =>
        MappedText.Read(WorkOrders, Header + rows, encoding: Latin1);

    private static string[] Ids(string mapping, string rows) =>
        [.. MappedText.Read(mapping, Header + rows, encoding: Latin1).Rows.SelectMany(row => row.Events).Select(said => said.EventId)];
}
