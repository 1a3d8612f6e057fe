using Reliability.V1;
using Xunit;

namespace Reliability.Files.Tests;

public sealed class ContractWordsTests
{
    [Fact]
    public void Values_of_the_contract_are_words()
    {
        Assert.Equal("low output", ContractWords.Of(RemovalReason.LowOutput));
        Assert.Equal("in service", ContractWords.Of(ModuleState.InService));
        Assert.Equal("not shown", ContractWords.Of(Verdict.Types.Code.NotShown));
        Assert.Equal("", ContractWords.Of(RemovalReason.Unspecified));
        Assert.Equal("99", ContractWords.Of((RemovalReason)99));
    }

    [Theory]
    [InlineData("low output")]
    [InlineData("Low-Output")]
    [InlineData(" LOW_OUTPUT ")]
    public void Words_are_read_however_they_are_written(string word)
    {
        Assert.True(ContractWords.TryParse(word, out RemovalReason reason));
        Assert.Equal(RemovalReason.LowOutput, reason);
    }

    [Theory]
    [InlineData("")]
    [InlineData("unspecified")]
    [InlineData("lo")]
    public void Other_words_are_not(string word) => Assert.False(ContractWords.TryParse(word, out RemovalReason _));

    [Fact]
    public void Every_word_is_read_back_as_its_value()
    {
        foreach (string word in ContractWords.Of<DisposalRoute>())
        {
            Assert.True(ContractWords.TryParse(word, out DisposalRoute route));
            Assert.Equal(word, ContractWords.Of(route));
        }
    }
}
