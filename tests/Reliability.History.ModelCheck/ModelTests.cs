using System.Collections.Concurrent;
using Reliability.History.Lives;
using Reliability.Rules;
using Xunit;

namespace Reliability.History.ModelCheck;

/// <summary>
/// Random records, told by History and by the model, which shares no type with it. The quick run is part of the test run;
/// RELIABILITY_MODEL_RECORDS sets the number of records of a longer one, RELIABILITY_MODEL_FROM its first seed.
/// </summary>
public sealed class ModelTests(ITestOutputHelper output)
{
    private const int Quick = 6_000;

    // A branch of the rules that fewer than one record in so many reaches is hardly checked: the generator went blind to it.
    private const int RecordsPerHit = 3_000;

    internal static readonly int Records = Setting("RELIABILITY_MODEL_RECORDS", Quick);
    internal static readonly int From = Setting("RELIABILITY_MODEL_FROM", 0);

    [Fact]
    public void History_tells_what_the_model_tells()
    {
        var reached = new ConcurrentDictionary<string, int>(Branches.All.Select(branch => KeyValuePair.Create(branch, 0)));
        var disagreements = new ConcurrentBag<int>();
        Parallel.For(From, From + Records, seed =>
        {
            if (Check.Disagreement(RandomRecord.Of(seed), Wrong.Nothing, out var branches).Count > 0)
                disagreements.Add(seed);
            foreach (var branch in branches.Hit)
                reached.AddOrUpdate(branch, 1, (_, count) => count + 1);
        });

        output.WriteLine($"{Records} records from seed {From}, {disagreements.Count} disagreements; records that reached a branch:");
        foreach (var (branch, count) in reached.OrderBy(b => b.Key, StringComparer.Ordinal))
            output.WriteLine($"{count,9} {branch}");
        Assert.True(
            disagreements.IsEmpty,
            string.Join("\n\n", disagreements.Order().Take(5).Select(seed => Check.Shortest(RandomRecord.Of(seed)))));
        Assert.Equal(Branches.All.Order(), reached.Keys.Order());
        Assert.Empty(reached.Where(b => b.Value < Records / RecordsPerHit).Select(b => $"{b.Value} {b.Key}"));

        // Records of which the description leaves open what counts are not held against each other: they must stay few.
        Assert.InRange(reached[Branches.LeftOpen], 0, Records / 100);
    }

    public static TheoryData<Wrong> WrongRules() => [.. Enum.GetValues<Wrong>().Where(wrong => wrong != Wrong.Nothing)];

    /// <summary>Each rule that is got wrong on purpose in the model shows as a disagreement within the records of the quick run.</summary>
    [Theory]
    [MemberData(nameof(WrongRules))]
    public void A_wrong_rule_is_caught(Wrong wrong)
    {
        var caught = Enumerable.Range(0, Quick).FirstOrDefault(seed => Check.Disagreement(RandomRecord.Of(seed), wrong).Count > 0, -1);

        Assert.True(caught >= 0, $"{Quick} records do not show that {wrong} is wrong.");
        output.WriteLine($"{wrong}: caught by record {caught + 1}\n{Check.Shortest(RandomRecord.Of(caught), wrong)}");
    }

    /// <summary>Late, repeated and shuffled posting ends in the same lives, to the last field.</summary>
    [Fact]
    public void Arrival_in_any_order_and_more_than_once_tells_the_same()
    {
        for (var seed = From; seed < From + Math.Min(Records, 1_000); seed++)
        {
            var made = RandomRecord.Of(seed);
            var random = new Random(seed);
            var shuffled = made.Facts.Concat(made.Facts.Where(_ => random.Next(2) == 0)).ToArray();
            random.Shuffle(shuffled);

            Assert.Equal(Told(made.Facts, made.Asked), Told(shuffled, made.Asked));
        }
    }

    [Fact]
    public void The_model_refers_to_nothing_of_ours()
    {
        var refersTo = typeof(Rules.Rules).Assembly.GetReferencedAssemblies().Select(name => name.Name!);

        Assert.DoesNotContain(refersTo, name => !name.StartsWith("System.", StringComparison.Ordinal));
    }

    private static string Told(IReadOnlyList<Fact> facts, Asked asked) => System.Text.Json.JsonSerializer.Serialize(
        LifeDerivation.Derive(Translation.Record(facts), Translation.Catalogue(asked), Translation.Options(asked)));

    private static int Setting(string name, int otherwise) =>
        int.TryParse(Environment.GetEnvironmentVariable(name), out var value) ? value : otherwise;
}
