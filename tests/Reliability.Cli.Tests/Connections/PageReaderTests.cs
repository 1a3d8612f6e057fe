using Reliability.Cli.Connections;
using Xunit;

namespace Reliability.Cli.Tests.Connections;

public sealed class PageReaderTests
{
    [Theory]
    [InlineData(5, 25, "5:", true)]
    [InlineData(25, 25, "10:,10:10,5:20", false)]
    [InlineData(100, 25, "10:,10:10,10:20", false)]
    [InlineData(20, 25, "10:,10:10", true)]
    [InlineData(7, 0, "7:", false)]
    public async Task Pages_are_read_until_there_is_enough(int limit, int available, string expected, bool expectedMore)
    {
        List<string> asked = [];
        bool more = await PageReader.ReadAsync(limit, 10, (size, token) =>
        {
            asked.Add($"{size}:{token}");
            int from = token.Length > 0 ? int.Parse(token, System.Globalization.CultureInfo.InvariantCulture) : 0;
            int count = Math.Min(size, available - from);
            return Task.FromResult((count, from + count < available ? $"{from + count}" : ""));
        });
        Assert.Equal(expected, string.Join(',', asked));
        Assert.Equal(expectedMore, more);
    }
}
