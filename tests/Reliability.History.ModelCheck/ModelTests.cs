using Reliability.Rules;
using Xunit;

namespace Reliability.History.ModelCheck;

public sealed class ModelTests
{
    [Fact]
    public void Try()
    {
        int from = int.Parse(Environment.GetEnvironmentVariable("FROM") ?? "0"), n = int.Parse(Environment.GetEnvironmentVariable("N") ?? "300"), bad = 0;
        var show = int.Parse(Environment.GetEnvironmentVariable("SHOW") ?? "3");
        for (var seed = from; seed < from + n; seed++)
        {
            var made = RandomRecord.Of(seed);
            if (Check.Disagreement(made).Count == 0)
                continue;
            if (bad++ < show)
                Console.WriteLine(Check.Shortest(made));
        }

        Console.WriteLine($"{bad} of {n} disagree");
    }
}
