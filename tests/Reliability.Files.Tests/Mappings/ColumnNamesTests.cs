using Reliability.Files.EventFiles;
using Reliability.V1;
using Xunit;

namespace Reliability.Files.Tests.Mappings;

/// <summary>What the service refuses of a mapped row is told by the columns of the file, beside the field of the event.</summary>
public sealed class ColumnNamesTests
{
    private const string Mapping = """
        {
          "constants": {"source": "workshop", "module_model": "uv-lamp"},
          "rows": [{"events": [
            {"event": "registered", "fields": {"event_id": {"column": "No", "suffix": "-a"}, "module": "Unit", "occur_time": "Date", "serial_number": "Ser", "udi": "Label"}},
            {"event": "output_measured", "fields": {"event_id": {"column": "No", "suffix": "-b"}, "module": "Unit", "occur_time": "Date", "output_fraction": "Light"}},
            {"event": "run_hours_read", "fields": {"event_id": {"column": "No", "suffix": "-c"}, "module": "Unit", "occur_time": "Date", "reading_hours": "Hours"}},
            {"event": "removed", "fields": {"event_id": {"column": "No", "suffix": "-d"}, "module": {"columns": ["Ward", "Unit"]}, "occur_time": "Date", "removal_reason": {"value": "failed"}, "reading_hours": "Hours"}},
            {"event": "replaced", "fields": {"event_id": {"column": "No", "suffix": "-e"}, "module": "Unit", "occur_time": "Date", "target_source": {"value": "workshop"}, "target_event_id": "Wrong", "right_event": {"value": "failed"}, "right_time": "Then", "reading_hours": "Hours"}}
          ]}]
        }
        """;

    [Theory]
    [InlineData(0, "occur_time", "Date (occur_time)")]
    [InlineData(0, "event_id", "No (event_id)")]
    [InlineData(0, "registered.identifiers[0].value", "Ser (registered.identifiers[0].value)")]
    [InlineData(0, "registered.identifiers[1].value", "Label (registered.identifiers[1].value)")]
    [InlineData(0, "registered.identifiers[7].value", "registered.identifiers[7].value")]
    [InlineData(0, "registered.module_model", "registered.module_model")]
    [InlineData(1, "output_measured.fraction", "Light (output_measured.fraction)")]
    [InlineData(2, "run_hours_read.readings[0].hours", "Hours (run_hours_read.readings[0].hours)")]
    [InlineData(3, "module", "Ward Unit (module)")]
    [InlineData(3, "removed.reading_hours", "Hours (removed.reading_hours)")]
    [InlineData(3, "removed.reason", "removed.reason")]
    [InlineData(4, "replaced.target_event_id", "Wrong (replaced.target_event_id)")]
    [InlineData(4, "replaced.event.occur_time", "Then (replaced.event.occur_time)")]
    [InlineData(4, "replaced.event.failed.reading_hours", "Hours (replaced.event.failed.reading_hours)")]
    public void A_field_is_named_with_its_columns(int index, string field, string expected) =>
        Assert.Equal(expected, Row().FieldName(index, field));

    [Fact]
    public void In_our_own_columns_a_field_has_its_own_name() =>
        Assert.Equal("failed.reading_hours", new FileRow(1, "", [new ModuleEvent()], []).FieldName(0, "failed.reading_hours"));

    private static FileRow Row()
    {
        var (rows, _, _) = MappedText.Read(
            Mapping, "No,Date,Unit,Ward,Ser,Label,Light,Hours,Wrong,Then\n1,2024-03-05,U1,W2,S-1,0100,0.8,-5,w1,2024-03-01\n");
        FileRow row = Assert.Single(rows);
        Assert.Empty(row.Problems);
        Assert.Equal(5, row.Events.Count);
        return row;
    }
}
