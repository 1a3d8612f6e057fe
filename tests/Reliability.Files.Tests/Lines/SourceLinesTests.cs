using System.Text;
using CsCheck;
using Reliability.Files.Lines;
using Xunit;

namespace Reliability.Files.Tests.Lines;

/// <summary>Whatever the bytes, lines come out in order, bounded and clean, and a bad one spoils itself alone.</summary>
public sealed class SourceLinesTests
{
    [Fact]
    public void Mixed_line_ends_and_a_byte_order_mark_are_read()
    {
        Assert.Equal(["1 a", "2 ", "3 b", "4 c", "5 d"], Read("\uFEFFa\n\r\nb\rc\r\nd"u8.ToArray()));
        Assert.Equal([], Read([]));
        Assert.Equal(["1 "], Read("\n"u8.ToArray()));
    }

    [Fact]
    public void A_bad_line_spoils_itself_alone()
    {
        Assert.Equal(
            ["1 ok", "2! a\uFFFDb: the line holds a NUL byte: the file seems to be binary", "3! \uFFFD: the text is not UTF-8. Save it as UTF-8", "4 ok"],
            Read([.. "ok\na\0b\n"u8, 0xFF, .. "\nok\n"u8]));
    }

    [Fact]
    public void Latin_1_has_a_character_for_every_byte()
    {
        byte[] all = [.. Enumerable.Range(1, 255).Select(b => (byte)b).Where(b => b is not ((byte)'\n' or (byte)'\r'))];
        Assert.Equal(["1 " + Encoding.Latin1.GetString(all)], Read(all, TextEncoding.Latin1));
    }

    [Fact]
    public void A_line_that_is_too_long_is_passed_over_whatever_its_length()
    {
        byte[] content = [.. "ok\n"u8, .. Enumerable.Repeat((byte)'x', 5 * FileLimits.MaxLineBytes), .. "\r\nok\n"u8, .. Enumerable.Repeat((byte)'y', FileLimits.MaxLineBytes)];
        List<string> lines = Read(content);
        Assert.Equal(4, lines.Count);
        Assert.StartsWith("2! xxx", lines[1], StringComparison.Ordinal);
        Assert.EndsWith("x...: the line is longer than 1,024 KiB", lines[1], StringComparison.Ordinal);
        Assert.Equal("3 ok", lines[2]);
        // The longest line that is taken.
        Assert.Equal(FileLimits.MaxLineBytes + 2, lines[3].Length);
    }

    [Fact]
    public void Utf_16_is_refused_with_the_cure()
    {
        FileUnusableException refusal = Assert.Throws<FileUnusableException>(() => Read([0xFF, 0xFE, 0x61, 0x00]));
        Assert.Equal("file: the file is UTF-16. Save it as UTF-8.", refusal.Message);
    }

    [Fact]
    public void However_the_bytes_arrive_the_lines_are_those_of_the_text()
    {
        Gen.Select(Gen.String[Gen.Char["ab\n\ré€"], 0, 200], Gen.Int[1, 7]).Sample((text, step) =>
        {
            List<string> expected = [.. text.Replace("\r\n", "\n", StringComparison.Ordinal).Replace('\r', '\n').Split('\n')];
            if (expected[^1].Length == 0)
                expected.RemoveAt(expected.Count - 1);
            Assert.Equal(expected.Select((line, i) => $"{i + 1} {line}"), Read(Encoding.UTF8.GetBytes(text), step: step));
        }, iter: 500);
    }

    private static List<string> Read(byte[] content, TextEncoding encoding = TextEncoding.Utf8, int step = int.MaxValue) =>
        ReadAsync(new SourceLines(new DrippingStream(content, step), "file", encoding)).GetAwaiter().GetResult();

    private static async Task<List<string>> ReadAsync(SourceLines lines)
    {
        await using SourceLines owned = lines;
        List<string> read = [];
        while (await lines.NextAsync(CancellationToken.None) is SourceLine line)
        {
            string text = Encoding.UTF8.GetString(line.Text.Span);
            read.Add(line.Problem is null ? $"{line.Number} {text}" : $"{line.Number}! {text}: {line.Problem}");
        }
        return read;
    }
}
