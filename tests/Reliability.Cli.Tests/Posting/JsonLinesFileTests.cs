using Reliability.Cli.Posting;
using Reliability.Cli.Tests.Files;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Posting;

public sealed class JsonLinesFileTests : IDisposable
{
    private const string Reading = """{"eventId": "e-1", "module": "modules/lamp-1", "occurTime": "2024-03-05T12:00:00Z", "occurPrecision": "OCCUR_PRECISION_DAY", "runHoursRead": {"readings": [{"hours": 7}]}}""";

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Lines_are_events_and_the_command_line_fills_in()
    {
        IReadOnlyList<PostRow> rows = Read(
            Reading + "\n\n" + """{"eventId": "e-2", "source": "other", "registered": {"moduleModel": "moduleModels/lamp"}}""" + "\n",
            PostFiles.Defaults(zone: "Europe/London", completeFrom: "2024-01-01"));
        Assert.Equal([1L, 3L], rows.Select(row => row.Line));
        Assert.All(rows, row => Assert.Empty(row.Problems));
        Assert.Equal(("quennick-maintenance", "Europe/London"), (rows[0].Event.Source, rows[0].Event.Zone));
        Assert.Equal(("other", ""), (rows[1].Event.Source, rows[1].Event.Zone));
        Assert.NotNull(rows[1].Event.Registered.CompleteFrom);
    }

    [Theory]
    [InlineData("not json")]
    [InlineData("{\"eventId\": 5")]
    [InlineData("[]")]
    [InlineData("{\"eventId\": \"e\", \"color\": 1}")]
    [InlineData("{\"eventId\": \"e\", \"removed\": {\"reason\": \"WORN\"}}")]
    [InlineData("{\"eventId\": \"e\", \"occurTime\": \"tomorrow\"}")]
    [InlineData("{\"eventId\": \"e\", \"failed\": {}, \"retired\": {}}")]
    public void A_line_that_is_no_event_is_refused_and_the_others_are_not(string line)
    {
        IReadOnlyList<PostRow> rows = Read(line + "\n" + Reading + "\n");
        Assert.StartsWith("not an event in JSON", Assert.Single(rows[0].Problems), StringComparison.Ordinal);
        Assert.DoesNotContain("Exception", rows[0].Problems[0], StringComparison.Ordinal);
        Assert.Equal(line, rows[0].Original);
        Assert.Empty(rows[1].Problems);
    }

    [Fact]
    public void The_form_can_be_said_where_the_name_does_not_tell()
    {
        PostRow row = Assert.Single(PostFiles.Read(_folder, "events.txt", Reading + "\n", form: FileForm.JsonLines));
        Assert.Equal(ModuleEvent.EventOneofCase.RunHoursRead, row.Event.EventCase);
    }

    private IReadOnlyList<PostRow> Read(string text, PostDefaults? defaults = null) => PostFiles.Read(_folder, "events.jsonl", text, defaults);
}
