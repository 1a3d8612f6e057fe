using Reliability.Cli.Lives;
using Reliability.Cli.Tests.Terminals;
using Reliability.V1;
using Xunit;

namespace Reliability.Cli.Tests.Lives;

public sealed class LifeTableTests
{
    [Fact]
    public void Outcomes_are_words()
    {
        Assert.Equal("failed at 812.5 h", LifeTable.Outcome(new LifeObservation { FailureHours = 812.5 }));
        Assert.Equal("survived 400 h", LifeTable.Outcome(new LifeObservation { SurvivalHours = 400 }));
        Assert.Equal("failed between 750 h and 780 h", LifeTable.Outcome(new LifeObservation { FailureInterval = new HoursInterval { LowerHours = 750, UpperHours = 780 } }));
        Assert.Equal("–", LifeTable.Outcome(null));
    }

    [Fact]
    public void An_excluded_life_says_why()
    {
        MemoryTerminal terminal = new();
        LifeTable.Write(terminal.Terminal, new ListLivesResponse
        {
            Lives =
            {
                new Life { Module = "modules/lamp-1", LifeNumber = 2, ModuleModel = "moduleModels/lamp", Condition = new Condition(), Site = "Velsham",
                    Observation = new LifeObservation { SurvivalHours = 400, EntryHours = 300 }, ExclusionReason = "NO_EXPOSURE", ExclusionText = "No reading after entry." },
            },
            ExcludedLives = { new ReasonCount { Reason = "NO_EXPOSURE", Count = 3 } },
        });
        Assert.Equal(["lamp-1", "2", "lamp", "new", "Velsham", "–", "survived 400 h", "300", "No reading after entry."], terminal.Row("lamp-1"));
        Assert.Contains("Left out in the whole cohort: 3 NO_EXPOSURE.", terminal.Out, StringComparison.Ordinal);
    }
}
