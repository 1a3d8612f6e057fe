using Xunit;

namespace Reliability.Files.Tests.Mappings;

/// <summary>A mapping that is wrong is refused before any row is read, with the place in it and the nearest known names.</summary>
public sealed class MappingRefusalTests
{
    private const string Columns = "No,Type,Date,Unit,Hours,Why\n";

    [Theory]
    [InlineData("""{"rows": [], "colour": 1}""", "colour: is not known here")]
    [InlineData("""{"rows": [], "colour": 1}""", "rows: must have 1 to 200 rules")]
    [InlineData("""{"row": []}""", "row: is not known here; did you mean \"rows\"?")]
    [InlineData("""{"row": []}""", "needs rows: what becomes of the rows of the file")]
    [InlineData("""{"delimiter": "tab", "rows": [{"ignore": "all"}]}""", "delimiter: must be one of \",\", \";\"")]
    [InlineData("""{"encoding": "utf8", "rows": [{"ignore": "all"}]}""", "encoding: must be one of \"utf-8\", \"iso-8859-1\"; did you mean \"utf-8\"?")]
    [InlineData("""{"decimal_comma": "yes", "rows": [{"ignore": "all"}]}""", "decimal_comma: must be true or false")]
    [InlineData("""{"thousands": ".", "rows": [{"ignore": "all"}]}""", "thousands: must be another sign than the one before decimals")]
    [InlineData("""{"date_formats": ["DD.MM.YYYY"], "rows": [{"ignore": "all"}]}""", "date_formats[0]: must be the form of a day or time")]
    [InlineData("""{"date_formats": ["dd/MM/yyyy", "MM/dd/yyyy"], "rows": [{"ignore": "all"}]}""", "date_formats[1]: reads the same text as another day than \"dd/MM/yyyy\" does")]
    [InlineData("""{"rows": [{"when": {"Type": ["A"]}}]}""", "rows[0]: must have either ignore, with the reason, or events")]
    [InlineData("""{"rows": [{"when": {"Type": "A"}, "ignore": "x"}]}""", "rows[0].when.Type: must be a list")]
    [InlineData("""{"rows": [{"ignore": "x", "ignore": "y"}]}""", "rows[0].ignore: is given twice")]
    [InlineData("not json", "line 1: is not valid JSON at byte 2")]
    [InlineData("[]", "must be a JSON object")]
    public void The_shape_is_checked(string mapping, string expected) => Assert.Contains(Problems(mapping), problem => problem.StartsWith(expected, StringComparison.Ordinal));

    [Theory]
    [InlineData("\"event\": \"remove\"", "rows[0].events[0].event: must be one of \"registered\"")]
    [InlineData("\"reading_hours\": \"Hours\", \"read_hours\": \"Hours\"", "rows[0].events[0].fields.read_hours: removed has no field of that name; did you mean")]
    [InlineData("\"reading_hours\": \"Hours\", \"failure_mode\": \"Why\"", "rows[0].events[0].fields.failure_mode: removed has no field of that name")]
    [InlineData("\"reading_hours\": \"Hour\"", "rows[0].events[0].fields.reading_hours: the file has no column \"Hour\"; did you mean \"Hours\"?")]
    [InlineData("\"reading_hours\": {\"column\": \"Hours\", \"value\": \"5\"}", "rows[0].events[0].fields.reading_hours: must have one of column, columns, value")]
    [InlineData("\"reading_hours\": {\"value\": \"five\"}", "rows[0].events[0].fields.reading_hours.value: \"five\" is not a number (as reading_hours)")]
    [InlineData("\"reading_hours\": {\"column\": \"Hours\", \"table\": \"hours\"}", "rows[0].events[0].fields.reading_hours.table: there is no table \"hours\" in tables")]
    [InlineData("\"zone\": {\"value\": \"Europe/Velsham\"}", "rows[0].events[0].fields.zone.value: \"Europe/Velsham\" is not an IANA time zone")]
    public void Fields_and_columns_are_checked(string part, string expected)
    {
        string mapping = """
            {"tables": {"reasons": {"A": "failed"}},
             "rows": [{"events": [{"event": "removed", "fields": {"module": "Unit", "occur_time": "Date", "removal_reason": {"column": "Why", "table": "reasons"}, PART}}]}]}
            """;
        mapping = part.StartsWith("\"event\"", StringComparison.Ordinal)
            ? mapping.Replace("\"event\": \"removed\"", part, StringComparison.Ordinal).Replace(", PART", "", StringComparison.Ordinal)
            : mapping.Replace("PART", part, StringComparison.Ordinal);
        Assert.Contains(Problems(mapping), problem => problem.StartsWith(expected, StringComparison.Ordinal));
    }

    [Fact]
    public void A_word_of_ours_that_does_not_exist_is_told_where_the_table_has_it()
    {
        string mapping = """
            {"constants": {"sauce": "x"}, "tables": {"reasons": {"A": "failed", "B7": "low outputt"}},
             "rows": [{"events": [{"event": "removed", "fields": {"module": "Unit", "occur_time": "Date", "removal_reason": {"column": "Why", "table": "reasons"}}}]}]}
            """;
        IReadOnlyList<string> problems = Problems(mapping);
        Assert.Contains(problems, problem => problem.StartsWith("tables.reasons.B7: \"low outputt\" is none of: failed, low output,", StringComparison.Ordinal)
            && problem.Contains("did you mean \"low output\"?", StringComparison.Ordinal));
        Assert.Contains(problems, problem => problem.StartsWith("constants.sauce: no event of the mapping has a field of that name; did you mean \"source\"?", StringComparison.Ordinal));
        Assert.Equal(2, problems.Count);
    }

    [Fact]
    public void A_field_that_every_row_would_miss_is_told_at_once()
    {
        string mapping = """{"rows": [{"events": [{"event": "removed", "fields": {"module": "Unit"}}, {"event": "life", "fields": {"outcome": "Why"}}]}]}""";
        Assert.Equal(
            [
                "rows[0].events[0].fields: needs occur_time, here or among the constants",
                "rows[0].events[0].fields: needs removal_reason, here or among the constants",
                "rows[0].events[1].fields: needs age_at_end, here or among the constants",
                "rows[0].events[1].fields: needs end_date, here or among the constants",
                "rows[0].events[1].fields: needs module_model, here or among the constants",
                "rows[0].events[1].fields: needs serial_number, here or among the constants",
                "rows[0].events[1].fields: needs start_date, here or among the constants",
            ],
            Problems(mapping).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void Two_events_of_a_row_cannot_have_one_id()
    {
        const string Event = """{"event": "run_hours_read", "fields": {"event_id": "No", "module": "Unit", "occur_time": "Date", "reading_hours": "Hours"}}""";
        Assert.Equal(
            ["rows[0].events[1].fields.event_id: gives two events of a row the same id; tell them apart by a suffix"],
            Problems($$"""{"rows": [{"events": [{{Event}}, {{Event}}]}]}"""));
    }

    private static IReadOnlyList<string> Problems(string mapping)
    {
        FileUnusableException refusal = Assert.Throws<FileUnusableException>(() => MappedText.Read(mapping, Columns + "1,A,2024-03-05,U1,5,A\n"));
        Assert.DoesNotContain("Exception", refusal.Message, StringComparison.Ordinal);
        return [.. refusal.Problems.Select(problem => problem.ToString())];
    }
}
