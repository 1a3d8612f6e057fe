using System.Text;
using Reliability.Cli.Files;
using Reliability.Cli.Terminals;
using Xunit;

namespace Reliability.Cli.Tests.Files;

public sealed class TextFileTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_file_that_is_not_there_is_said_so()
    {
        Assert.EndsWith("there is no such file.", Refusal(_folder.Path("nothing.csv")), StringComparison.Ordinal);
        Assert.Contains("cannot be read", Refusal(Path.GetTempPath()), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("")]
    [InlineData("\n \r\n\t\n")]
    [InlineData("\uFEFF\n")]
    public void An_empty_file_is_refused(string text)
    {
        Assert.EndsWith("the file is empty.", Refusal(_folder.Write("empty.csv", text)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_binary_file_is_refused_with_the_line()
    {
        Assert.EndsWith("line 2: the file is binary, not text.", Refusal(_folder.Write("a.csv", "PK\nab\0cd"u8.ToArray())), StringComparison.Ordinal);
    }

    [Fact]
    public void Other_encodings_are_refused_with_the_cure()
    {
        Assert.EndsWith("the file is UTF-16. Save it as UTF-8.", Refusal(_folder.Write("a.csv", Encoding.Unicode.GetPreamble())), StringComparison.Ordinal);
        byte[] latin = Encoding.Latin1.GetBytes("outcome\nfailed\nüberholt\n");
        Assert.EndsWith("line 3: the text is not UTF-8. Save it as UTF-8.", Refusal(_folder.Write("b.csv", latin)), StringComparison.Ordinal);
        Assert.EndsWith("line 1: the text is not UTF-8. Save it as UTF-8.", Refusal(_folder.Write("c.csv", [0x61, 0xE2, 0x82])), StringComparison.Ordinal);
    }

    [Fact]
    public void Characters_cut_by_the_end_of_a_block_are_whole()
    {
        // Signs of two, three and four bytes at every offset: each is cut by some block's end.
        StringBuilder text = new("x");
        for (int i = 0; i < 60_000; i++)
            text.Append("é€😀");
        text.Append("\nlast");
        Assert.Equal(2, TextFile.Check(_folder.Write("long.txt", text.ToString())).LineCount);
    }

    private static string Refusal(string path) => Assert.Throws<UsageException>(() => TextFile.Check(path)).Message;
}
