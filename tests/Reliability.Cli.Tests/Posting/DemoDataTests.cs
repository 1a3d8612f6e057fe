using Reliability.Cli.Catalog;
using Reliability.Cli.Posting;
using Xunit;

namespace Reliability.Cli.Tests.Posting;

public sealed class DemoDataTests
{
    public static TheoryData<string> Files() =>
        [.. Directory.EnumerateFiles(DemoData(), "lives-*.csv").Concat(Directory.EnumerateFiles(DemoData(), "events-*.jsonl")).Select(file => Path.GetFileName(file))];

    [Theory]
    [MemberData(nameof(Files))]
    public void Every_row_of_the_demo_files_can_be_posted(string name)
    {
        using IEventFile file = FileForm.Open(Path.Combine(DemoData(), name), null, PostFiles.Defaults(source: ""));
        List<PostRow> rows = [.. file.Rows()];
        Assert.True(rows.Count > 10);
        Assert.Empty(rows.SelectMany(row => row.Problems));
        Assert.Equal(rows.Count, rows.Select(row => row.Event.EventId).Distinct().Count());
    }

    [Fact]
    public void The_demo_module_models_are_read()
    {
        Assert.Contains("phototherapy-lamp", ModelFile.Read(Path.Combine(DemoData(), "module-models.json"), null).Select(request => request.ModuleModelId));
    }

    private static string DemoData() => Repository.Path("demo-data");
}
