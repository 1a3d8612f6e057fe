using Reliability.Cli.Catalog;
using Reliability.Cli.Posting;
using Reliability.Files.EventFiles;
using Xunit;

namespace Reliability.Cli.Tests.Posting;

public sealed class DemoDataTests
{
    public static TheoryData<string> Files() =>
        [.. Directory.EnumerateFiles(DemoData(), "lives-*.csv").Concat(Directory.EnumerateFiles(DemoData(), "events-*.jsonl")).Select(file => Path.GetFileName(file))];

    [Theory]
    [MemberData(nameof(Files))]
    public async Task Every_row_of_the_demo_files_can_be_posted(string name)
    {
        await using PostFile file = await PostFile.OpenAsync(Path.Combine(DemoData(), name), null, FileDefaults.None, mapping: null, TestContext.Current.CancellationToken);
        List<FileRow> rows = await file.Events.RowsAsync(TestContext.Current.CancellationToken).ToListAsync(TestContext.Current.CancellationToken);
        Assert.True(rows.Count > 10);
        Assert.Empty(rows.SelectMany(row => row.Problems));
        Assert.Equal(rows.Count, rows.SelectMany(row => row.Events).Select(said => said.EventId).Distinct().Count());
    }

    [Fact]
    public void The_demo_module_models_are_read()
    {
        Assert.Contains("phototherapy-lamp", ModelFile.Read(Path.Combine(DemoData(), "module-models.json"), null).Select(request => request.ModuleModelId));
    }

    private static string DemoData() => Repository.Path("demo-data");
}
