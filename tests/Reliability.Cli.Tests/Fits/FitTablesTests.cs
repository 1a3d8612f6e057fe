using Reliability.Cli.Fits;
using Reliability.Cli.Tests.Terminals;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Fits;

public sealed class FitTablesTests
{
    [Fact]
    public void Simulated_bounds_say_what_they_rest_on()
    {
        MemoryTerminal terminal = new();
        LifeFit fit = ExampleFits.Fitted();
        fit.BoundsMethod = BoundsMethod.Bootstrap;
        fit.Simulation = new SimulatedBounds
        {
            Method = "percentile-t, parametric",
            Replicates = 1999,
            WithoutEstimate = 12,
            Seed = 7,
            Plan = "Lives are stopped where they were or were to be.",
        };

        FitTables.Write(terminal.Terminal, "drives", fit);

        string text = terminal.Out.ReplaceLineEndings(" ");
        Assert.Contains("by bootstrap", text, StringComparison.Ordinal);
        Assert.Contains("percentile-t, parametric, by 1,999 simulated samples, 12 of them without an estimate; seed 7.", text, StringComparison.Ordinal);
        Assert.Contains("stopped where they were", text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_fit_is_shown_with_bounds_and_their_side()
    {
        MemoryTerminal terminal = new();
        FitTables.Write(terminal.Terminal, "phototherapy-lamp, new", ExampleFits.Fitted());
        Assert.Contains("Weibull fit: phototherapy-lamp, new. 95 % bounds, by likelihood ratio", terminal.Out, StringComparison.Ordinal);
        Assert.Equal(["shape", "1.7208", "0.99", "2.8", "0.17208", "both sides"], terminal.Row("shape"));
        Assert.Equal(["scale", "606.53", "450", "1,000", "60.653", "both sides"], terminal.Row("scale"));
        Assert.Equal(["mean life, h", "540.74", "390.2", "811.9", "54.074", "both sides"], terminal.Row("mean life"));
        Assert.Equal("164", terminal.Row("B10 life (10 % failed), h")[1]);
        Assert.Equal("490", terminal.Row("median life (50 % failed), h")[1]);
        Assert.Equal("0.4", terminal.Row("chance to outlast 2,000 h")[1]);
        Assert.Equal("0.9", terminal.Row("after 300 h: chance to outlast 50 h more")[1]);
        Assert.Contains("Log-likelihood -75.135. Akaike's criterion 154.27.", terminal.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void Where_there_is_a_bound_alone_the_estimate_is_a_dash_with_a_reason()
    {
        MemoryTerminal terminal = new();
        FitTables.Write(terminal.Terminal, "drives", ExampleFits.BoundOnly());
        Assert.Equal(["shape (taken as known)", "2", "–", "–", "–", "–"], terminal.Row("shape"));
        Assert.Equal(["scale", "–", "3,000", "–", "–", "lower only"], terminal.Row("scale"));
        Assert.Contains("- There are no failures: there is a lower bound and no estimate. [NO_FAILURES]", terminal.Out, StringComparison.Ordinal);
        Assert.DoesNotContain("Log-likelihood", terminal.Out, StringComparison.Ordinal);
    }

    [Fact]
    public void Text_from_data_is_never_taken_for_markup()
    {
        MemoryTerminal terminal = new();
        FitTables.Write(terminal.Terminal, "[red]site[/] [oops", ExampleFits.Fitted());
        Assert.Contains("[red]site[/] [oops", terminal.Out, StringComparison.Ordinal);
    }
}
