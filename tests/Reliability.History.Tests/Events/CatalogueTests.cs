using Reliability.History.Catalogue;
using Reliability.History.Events;
using Xunit;

namespace Reliability.History.Tests.Events;

/// <summary>What of a module model holds when and for whom.</summary>
public sealed class CatalogueTests
{
    [Fact]
    public void The_first_version_holds_from_the_beginning_and_updates_from_their_time()
    {
        var model = new ModuleModel
        {
            Id = "lamp",
            Versions =
            [
                new() { DisplayName = "first", EffectiveTime = Scenario.History.Day(500) },
                new() { DisplayName = "third", EffectiveTime = Scenario.History.Day(20) },
                new() { DisplayName = "second", EffectiveTime = Scenario.History.Day(10) },
            ],
        };

        Assert.Equal(
            ["first", "second", "third"],
            new[] { 9.9, 10, 20 }.Select(day => model.InForceAt(Scenario.History.Day(day)).DisplayName!));
    }

    [Fact]
    public void The_most_specific_rated_life_holds()
    {
        var version = new ModuleModelVersion
        {
            RatedLives =
            [
                new() { RatedHours = 1 },
                new() { RatedHours = 2, ConditionClass = ConditionClass.Refurbished },
                new() { RatedHours = 3, Refurbisher = "Vennick Works" },
                new() { RatedHours = 4, ConditionClass = ConditionClass.New },
            ],
        };

        Assert.Equal(4, version.RatedLifeFor(Condition.New)!.RatedHours);
        Assert.Equal(2, version.RatedLifeFor(Condition.New.RenewedBy("Second Turn Bench"))!.RatedHours);
        Assert.Equal(3, version.RatedLifeFor(Condition.New.RenewedBy("Vennick Works"))!.RatedHours);
        Assert.Null(new ModuleModelVersion().RatedLifeFor(Condition.New));
    }
}
