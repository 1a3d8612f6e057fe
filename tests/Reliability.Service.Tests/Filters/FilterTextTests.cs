using Reliability.Service.Filters;
using Xunit;

namespace Reliability.Service.Tests.Filters;

/// <summary>Filters: conditions joined by AND, values as words or in quotes.</summary>
public sealed class FilterTextTests
{
    [Theory]
    [InlineData("", "")]
    [InlineData("   ", "")]
    [InlineData("state = IN_SERVICE", "state|IN_SERVICE")]
    [InlineData("site=\"Quennick General\" AND state = IN_SERVICE", "site|Quennick General;state|IN_SERVICE")]
    [InlineData("module_model = moduleModels/lamp-a", "module_model|moduleModels/lamp-a")]
    [InlineData("lot = \"a \\\"b\\\" \\\\ c\"", "lot|a \"b\" \\ c")]
    [InlineData("lot = \"\"", "lot|")]
    public void It_is_read(string text, string expected)
    {
        Assert.Null(FilterText.Read(text, out var conditions));
        Assert.Equal(expected, string.Join(';', conditions.Select(condition => $"{condition.Field}|{condition.Value}")));
    }

    [Theory]
    [InlineData("site", "character 5")]
    [InlineData("site =", "character 7")]
    [InlineData("= x", "character 1")]
    [InlineData("site = x state = y", "character 10")]
    [InlineData("site = x OR state = y", "character 10")]
    [InlineData("site = x AND", "character 13")]
    [InlineData("site = \"x", "character 8")]
    [InlineData("site > x", "character 6")]
    [InlineData("NOT site = x", "character 5")]
    [InlineData("(site = x)", "character 1")]
    public void What_cannot_be_read_is_told_with_its_place(string text, string place) =>
        Assert.Contains(place, FilterText.Read(text, out _), StringComparison.Ordinal);

    [Fact]
    public void Any_value_comes_back_out_of_quotes()
    {
        foreach (var value in Texts())
        {
            var quoted = value.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal);
            Assert.Null(FilterText.Read($"a = \"{quoted}\" AND b = c", out var conditions));
            Assert.Equal([new FilterCondition("a", value), new FilterCondition("b", "c")], conditions);
        }
    }

    [Fact]
    public void No_text_makes_it_throw()
    {
        var readable = Texts().Count(text => FilterText.Read(text, out _) is null);

        Assert.InRange(readable, 1, 1_999);
    }

    /// <summary>Texts of the characters that matter to a reader, and of any others.</summary>
    private static IEnumerable<string> Texts()
    {
        const string Telling = "a= \"\\AND.\t_é\u2028";
        var random = new Random(20);
        for (var i = 0; i < 2_000; i++)
        {
            yield return string.Create(random.Next(12), random, static (span, source) =>
            {
                foreach (ref var character in span)
                    character = source.Next(4) > 0 ? Telling[source.Next(Telling.Length)] : (char)source.Next(0x20, 0xD800);
            });
        }
    }
}
