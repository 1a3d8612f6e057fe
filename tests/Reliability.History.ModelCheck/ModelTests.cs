using System.Collections.Concurrent;
using Reliability.Rules;
using Xunit;

namespace Reliability.History.ModelCheck;

/// <summary>
/// Random records, told by History and by the model. The quick run is in the test run; RELIABILITY_MODEL_RECORDS gives the number
/// of records of a long one, RELIABILITY_MODEL_FROM the first seed.
/// </summary>
public sealed class ModelTests(ITestOutputHelper output)
{
    private const int Quick = 6_000;

    // Reached by every so many records at the least: a generator that went blind to a corner would show here.
    private const int RecordsPerHit = 1_500;

    private static readonly int Records = Setting("RELIABILITY_MODEL_RECORDS", Quick);
    private static readonly int From = Setting("RELIABILITY_MODEL_FROM", 0);

    [Fact]
    public void History_tells_what_the_model_tells()
    {
        var reached = new ConcurrentDictionary<string, int>();
        var disagreements = new ConcurrentBag<int>();
        Parallel.For(From, From + Records, seed =>
        {
            if (Check.Disagreement(RandomRecord.Of(seed), Wrong.Nothing, out var branches).Count > 0)
                disagreements.Add(seed);
            foreach (var branch in branches.Hit)
                reached.AddOrUpdate(branch, 1, (_, count) => count + 1);
        });

        output.WriteLine($"{Records} records from seed {From}, {disagreements.Count} disagreements.");
        foreach (var (branch, count) in reached.OrderBy(b => b.Key, StringComparer.Ordinal))
            output.WriteLine($"{count,9} {branch}");
        Assert.True(disagreements.IsEmpty, string.Join("\n\n", disagreements.Order().Take(5).Select(seed => Check.Shortest(RandomRecord.Of(seed)))));
    }

    private static int Setting(string name, int otherwise) =>
        int.TryParse(Environment.GetEnvironmentVariable(name), out var value) ? value : otherwise;
}
