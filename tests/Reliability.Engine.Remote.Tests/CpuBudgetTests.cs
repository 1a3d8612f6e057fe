using Reliability.Engine.Remote.Processes;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>Processor time that may be used.</summary>
public sealed class CpuBudgetTests
{
    [Theory]
    [InlineData(1, 2)]
    [InlineData(0.25, 1)]
    [InlineData(2, 4)]
    public void Who_is_held_while_overdrawn_uses_its_share_and_no_more(double processors, double wish)
    {
        var budget = new CpuBudget(processors);
        double used = 0;
        const int Seconds = 1000, Looks = 20;
        for (var i = 0; i < Seconds * Looks; i++)
        {
            var now = budget.IsOverdrawn ? 0 : wish / Looks;
            used += now;
            budget.Pass(1.0 / Looks, now);
        }

        Assert.Equal(processors, used / Seconds, 0.01 * processors);
    }

    [Fact]
    public void Who_uses_less_is_never_held()
    {
        var budget = new CpuBudget(1);
        for (var i = 0; i < 10_000; i++)
        {
            budget.Pass(0.05, 0.049);
            Assert.False(budget.IsOverdrawn);
        }
    }
}
