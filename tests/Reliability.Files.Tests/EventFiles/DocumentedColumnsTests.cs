using Reliability.Files.EventFiles;
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
}
