using Reliability.Files.EventFiles;
using Reliability.Files.Tests.Mappings;
using Xunit;

namespace Reliability.Files.Tests.EventFiles;

/// <summary>docs/files.md leaves out no column, kind of event or form of file.</summary>
public sealed class DocumentedColumnsTests
{
    private static readonly string Page = File.ReadAllText(Repository.Path("docs/files.md"));

    [Fact]
    public void Every_column_kind_of_event_and_form_is_described()
    {
        foreach (string name in LifeRowReader.KnownColumns.Concat(EventColumns.All).Concat(EventColumns.Kinds).Concat(FileForm.All))
            Assert.Contains($"`{name}`", Page, StringComparison.Ordinal);
    }

    [Fact]
    public void The_example_of_a_mapping_reads_the_example_of_an_export()
    {
        string export = Block("```\nNo;Type", "```\n").Insert(0, "No;Type");
        string mapping = Block("```json\n", "```\n");
        IReadOnlyList<FileRow> rows = MappedText.Read(mapping, export, encoding: System.Text.Encoding.Latin1).Rows;
        Assert.Empty(rows.SelectMany(row => row.Problems));
        Assert.Equal([2, 1, 0], rows.Select(row => row.Events.Count));
        Assert.Equal("a remark", rows[2].Ignored);
    }

    private static string Block(string begin, string end)
    {
        string rest = Page[(Page.IndexOf(begin, StringComparison.Ordinal) + begin.Length)..];
        return rest[..rest.IndexOf(end, StringComparison.Ordinal)];
    }
}
