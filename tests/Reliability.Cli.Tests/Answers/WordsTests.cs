using Reliability.Cli.Answers;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Answers;

public sealed class WordsTests
{
    [Fact]
    public void Values_of_the_contract_are_words()
    {
        Assert.Equal("low output", Words.Of(RemovalReason.LowOutput));
        Assert.Equal("in service", Words.Of(ModuleState.InService));
        Assert.Equal("not shown", Words.Of(Verdict.Types.Code.NotShown));
        Assert.Equal("", Words.Of(RemovalReason.Unspecified));
        Assert.Equal("99", Words.Of((RemovalReason)99));
    }

    [Theory]
    [InlineData("low output")]
    [InlineData("Low-Output")]
    [InlineData(" LOW_OUTPUT ")]
    public void Words_are_read_however_they_are_written(string word)
    {
        Assert.True(Words.TryParse(word, out RemovalReason reason));
        Assert.Equal(RemovalReason.LowOutput, reason);
    }

    [Theory]
    [InlineData("")]
    [InlineData("unspecified")]
    [InlineData("lo")]
    public void Other_words_are_not(string word) => Assert.False(Words.TryParse(word, out RemovalReason _));

    [Fact]
    public void Every_word_is_read_back_as_its_value()
    {
        foreach (string word in Words.Of<DisposalRoute>())
        {
            Assert.True(Words.TryParse(word, out DisposalRoute route));
            Assert.Equal(word, Words.Of(route));
        }
    }
}
