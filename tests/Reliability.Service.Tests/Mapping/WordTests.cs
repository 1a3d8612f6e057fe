using Reliability.History.Lives;
using Reliability.Service.Events;
using Reliability.Service.Mapping;
using Xunit;

namespace Reliability.Service.Tests.Mapping;

/// <summary>Every code of the record has a word on the wire, and every word a text.</summary>
public sealed class WordTests
{
    [Fact]
    public void Codes_go_both_ways()
    {
        BothWays(Words.IdentifierKinds);
        BothWays(Words.RemovalReasons);
        BothWays(Words.Verdicts);
        BothWays(Words.States);
        BothWays(Words.Renewals);
    }

    [Fact]
    public void Every_code_of_the_record_has_a_text_of_its_own()
    {
        Texts<RecordOddity>(RecordTexts.Of);
        Texts<LifeExclusion>(RecordTexts.Of);
        Texts<UnresolvedReason>(RecordTexts.Of);
        Assert.Equal("READING_LEFT_OUT", Words.Code(RecordOddity.ReadingLeftOut));
    }

    [Fact]
    public void The_policy_as_used_has_every_row()
    {
        var asked = new V1.OutcomePolicy
        {
            Rules = { new V1.OutcomeRule { RemovalReason = V1.RemovalReason.Other, Verdict = V1.OutcomeVerdict.Excluded } },
            UnmeasuredLowOutputVerdict = V1.OutcomeVerdict.Failed,
        };

        var used = PolicyMapping.ToWire(PolicyMapping.FromWire(asked), unknownRenewalRenews: true);

        Assert.Equal(9, used.Rules.Count);
        Assert.Equal(V1.OutcomeVerdict.Excluded, used.Rules.Single(rule => rule.RemovalReason == V1.RemovalReason.Other).Verdict);
        Assert.Equal(V1.OutcomeVerdict.Survived, used.Rules.Single(rule => rule.RemovalReason == V1.RemovalReason.Planned).Verdict);
        Assert.Equal(V1.OutcomeVerdict.Failed, used.UnmeasuredLowOutputVerdict);
        Assert.True(used.UnknownRenewalRenews);
    }

    [Theory]
    [InlineData(100.0, 100.0, 2000.0, V1.RatedHoursStatus.Below)]
    [InlineData(1800.0, 1800.0, 2000.0, V1.RatedHoursStatus.Near)]
    [InlineData(2000.0, 2000.0, 2000.0, V1.RatedHoursStatus.Reached)]
    [InlineData(1900.0, 2100.0, 2000.0, V1.RatedHoursStatus.Uncertain)]
    [InlineData(100.0, null, 2000.0, V1.RatedHoursStatus.Uncertain)]
    [InlineData(2500.0, null, 2000.0, V1.RatedHoursStatus.Reached)]
    public void An_age_stands_against_rated_hours(double lower, double? upper, double rated, V1.RatedHoursStatus expected)
    {
        Assert.Equal(expected, ModuleMapping.Status(new HoursRange(lower, upper), rated));
        Assert.Equal(V1.RatedHoursStatus.Unspecified, ModuleMapping.Status(new HoursRange(lower, upper), null));
        Assert.Equal(V1.RatedHoursStatus.Unspecified, ModuleMapping.Status(null, rated));
    }

    private static void BothWays<TWire, THistory>(WordPairs<TWire, THistory> pairs)
        where TWire : struct, Enum
        where THistory : struct, Enum
    {
        var words = Enum.GetValues<THistory>();
        Assert.NotEmpty(words);
        Assert.All(words, word => Assert.Equal(word, pairs.ToHistory(pairs.ToWire(word))));
        Assert.Equal(words.Length, words.Select(pairs.ToWire).Distinct().Count());
        // Nothing but "unspecified" may be without a word in the record.
        Assert.All(Enum.GetValues<TWire>().Skip(1), word => Assert.Equal(word, pairs.ToWire(pairs.ToHistory(word))));
    }

    private static void Texts<T>(Func<T, string> text)
        where T : struct, Enum
    {
        var texts = Enum.GetValues<T>().Select(text).ToList();
        Assert.All(texts, Assert.NotEmpty);
        Assert.Equal(texts.Count, texts.Distinct().Count());
        Assert.DoesNotContain(text((T)(object)9999), texts);
    }
}
