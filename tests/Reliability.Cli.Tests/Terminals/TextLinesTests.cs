using Reliability.Cli.Terminals;
using Xunit;

namespace Reliability.Cli.Tests.Terminals;

public sealed class TextLinesTests
{
    [Theory]
    [InlineData("", 10, 0, "")]
    [InlineData("short", 10, 0, "short")]
    [InlineData("one two three", 7, 0, "one two|three")]
    [InlineData("  - one two three", 11, 2, "  - one two|    three")]
    [InlineData("a averylongword b", 5, 0, "a|averylongword|b")]
    public void Text_is_broken_between_words(string text, int width, int hanging, string expected)
    {
        Assert.Equal(expected, string.Join('|', TextLines.Of(text, width, hanging)));
    }
}
