using Reliability.Plots.Sheets;
using Xunit;

namespace Reliability.Plots.Tests.Sheets;

public sealed class TickSpacingTests
{
    [Fact]
    public void Earlier_labels_win_and_the_rest_is_in_order()
    {
        AxisLabel[] labels = [new(5, "50"), new(5.5, "60"), new(1, "10"), new(4, "40")];
        Assert.Equal(["10", "40", "50"], TickSpacing.Keep(labels, 1).Select(l => l.Text));
    }
}
