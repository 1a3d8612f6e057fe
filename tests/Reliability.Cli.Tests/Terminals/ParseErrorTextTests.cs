using Reliability.Cli.Terminals;
using Xunit;

namespace Reliability.Cli.Tests.Terminals;

public sealed class ParseErrorTextTests
{
    [Theory]
    [InlineData("fit --seed abc", "--seed: \"abc\" is not a whole number, or is too large.")]
    [InlineData("fit --replicates 1e3", "--replicates: \"1e3\" is not a whole number, or is too large.")]
    [InlineData("fit --confidence high", "--confidence: \"high\" is not a number.")]
    [InlineData("fit --at-hours x", "--at-hours: \"x\" is not a number.")]
    [InlineData("lives --refurbishment one", "--refurbishment: \"one\" is not a whole number, or is too large.")]
    public async Task What_an_option_does_not_take_is_told_without_names_of_types(string line, string expected)
    {
        MemoryTerminal terminal = new();
        Assert.Equal(ExitCode.Failed, await ReliabilityCommand.RunAsync(line.Split(' '), terminal.Terminal));
        Assert.StartsWith(expected, terminal.Error, StringComparison.Ordinal);
        Assert.DoesNotContain("System.", terminal.Error, StringComparison.Ordinal);
    }
}
