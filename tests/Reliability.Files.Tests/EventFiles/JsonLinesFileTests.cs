using Reliability.Files.EventFiles;
using Reliability.V1;
using Xunit;

namespace Reliability.Files.Tests.EventFiles;

public sealed class JsonLinesFileTests
{
    private const string Reading = """{"eventId": "e-1", "module": "modules/lamp-1", "occurTime": "2024-03-05T12:00:00Z", "occurPrecision": "OCCUR_PRECISION_DAY", "runHoursRead": {"readings": [{"hours": 7}]}}""";

    [Fact]
    public void Lines_are_events_and_the_command_line_fills_in()
    {
        IReadOnlyList<FileRow> rows = Read(
            Reading + "\n\n" + """{"eventId": "e-2", "source": "other", "registered": {"moduleModel": "moduleModels/lamp"}}""" + "\n",
            EventFileText.Defaults(zone: "Europe/London", completeFrom: "2024-01-01"));
        Assert.Equal([1L, 3L], rows.Select(row => row.Line));
        Assert.All(rows, row => Assert.Empty(row.Problems));
        Assert.Equal(("quennick-maintenance", "Europe/London"), (rows[0].Events[0].Source, rows[0].Events[0].Zone));
        Assert.Equal(("other", ""), (rows[1].Events[0].Source, rows[1].Events[0].Zone));
        Assert.NotNull(rows[1].Events[0].Registered.CompleteFrom);
    }

    [Theory]
    [InlineData("not json", "is not valid JSON: byte 2 of the line")]
    [InlineData("{\"eventId\": 5", "is not valid JSON: byte 14 of the line")]
    [InlineData("[]", "must be a JSON object")]
    [InlineData("{\"eventId\": \"\\ud800\"}", "holds text that is not valid Unicode")]
    [InlineData("{\"eventId\": \"e\", \"color\": 1}", "color: is not a field of ModuleEvent")]
    [InlineData("{\"eventId\": \"e\", \"eventId\": \"f\"}", "event_id: is given twice")]
    [InlineData("{\"eventId\": \"e\", \"removed\": {\"reason\": \"WORN\"}}", "removed.reason: must be one of REMOVAL_REASON_UNSPECIFIED")]
    [InlineData("{\"eventId\": \"e\", \"occurTime\": \"tomorrow\"}", "occur_time: must be a time of RFC 3339")]
    [InlineData("{\"eventId\": \"e\", \"failed\": {}, \"retired\": {}}", "retired: excludes the other fields of event")]
    [InlineData("{\"eventId\": \"e\", \"runHoursRead\": {\"readings\": [{\"hours\": 1e999}]}}", "run_hours_read.readings[0].hours: must be a finite number")]
    public void A_line_that_is_no_event_is_refused_with_path_and_rule_and_the_others_are_not(string line, string expected)
    {
        IReadOnlyList<FileRow> rows = Read(line + "\n" + Reading + "\n");
        Assert.StartsWith(expected, Assert.Single(rows[0].Problems).ToString(), StringComparison.Ordinal);
        Assert.Equal(line, rows[0].Original);
        Assert.Empty(rows[1].Problems);
    }

    [Fact]
    public void The_form_can_be_said_where_the_name_does_not_tell()
    {
        FileRow row = Assert.Single(EventFileText.Read("events.txt", Reading + "\n", form: FileForm.JsonLines));
        Assert.Equal(ModuleEvent.EventOneofCase.RunHoursRead, row.Events[0].EventCase);
    }

    private static IReadOnlyList<FileRow> Read(string text, FileDefaults? defaults = null) => EventFileText.Read("events.jsonl", text, defaults);
}
