using Reliability.Cli.Posting;
using Reliability.Cli.Samples;
using Reliability.Cli.Tests.Files;
using Xunit;

namespace Reliability.Cli.Tests.Posting;

/// <summary>What docs/files.md says of files holds.</summary>
public sealed class DocumentedFilesTests : IDisposable
{
    private static readonly string Page = File.ReadAllText(Repository.Path("docs/files.md"));

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void The_example_files_are_read_without_a_problem()
    {
        string[] examples = [.. Page.Split("```csv\n").Skip(1).Select(block => block[..block.IndexOf("```", StringComparison.Ordinal)])];
        Assert.Equal(3, examples.Length);
        foreach (string example in examples[..2])
        {
            IReadOnlyList<PostRow> rows = PostFiles.Read(_folder, "example.csv", example, PostFiles.Defaults(zone: "Europe/London"));
            Assert.Equal(3, rows.Count);
            Assert.Empty(rows.SelectMany(row => row.Problems));
        }
        Assert.Equal(3, SampleSheet.Read(_folder.Write("plain.csv", examples[2])).Observations.Count);
    }

    [Fact]
    public void Every_column_and_kind_of_event_is_described()
    {
        foreach (string name in LifeSheet.KnownColumns.Concat(EventColumns.All).Concat(EventColumns.Kinds).Concat(FileForm.All))
            Assert.Contains($"`{name}`", Page, StringComparison.Ordinal);
    }
}
