using Reliability.Cli.Replacements;
using Reliability.Cli.Terminals;
using Reliability.Cli.Tests.Files;
using Xunit;

namespace Reliability.Cli.Tests.Replacements;

public sealed class PositionSheetTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Hours_that_fall_and_a_position_in_two_rows_are_refused_with_the_line()
    {
        string sheet = _folder.Write("positions.csv", "position,end_hours,replacement_hours\na,900,500;400\nb,900,300\nb,900,600\n");

        UsageException refusal = await Assert.ThrowsAsync<UsageException>(() => PositionSheet.ReadAsync(sheet, new(), TestContext.Current.CancellationToken));

        Assert.Contains("line 2: ", refusal.Message, StringComparison.Ordinal);
        Assert.Contains("replacement_hours must not fall", refusal.Message.Replace(": must", " must", StringComparison.Ordinal), StringComparison.Ordinal);
        Assert.Contains("line 4: ", refusal.Message, StringComparison.Ordinal);
        Assert.Contains("stands at line 3 already", refusal.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Two_replacements_at_once_count_as_two_and_are_told()
    {
        string sheet = _folder.Write("positions.csv", "position,end_hours,replacement_hours\na,900,300;300;600\n");

        var (positions, notes) = await PositionSheet.ReadAsync(sheet, new(), TestContext.Current.CancellationToken);

        Assert.Equal([300, 300, 600], Assert.Single(positions).ReplacementHours);
        Assert.EndsWith("line 2: 2 replacements at 300 h count as so many.", Assert.Single(notes), StringComparison.Ordinal);
    }
}
