using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Record;

/// <summary>What a retraction does, and what waits for what. Rules: the domain description, "Events".</summary>
public sealed class RetractionTests
{
    private static Scenario.History Fitted() => new Scenario.History().Registered().OnHost(0, 0).Read(10, 100);

    [Fact]
    public void A_retracted_event_stays_in_the_record_and_stops_counting()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "wrong").Read(30, 250).Retract(31, "wrong", "r");
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Survived(250), Assert.Single(derived.Lives).Outcome);
        var wrong = history.Status(derived, "wrong");
        Assert.Equal(EventStanding.Retracted, wrong.Standing);
        Assert.Equal(history.Status(derived, "r").EventId, wrong.RelatedEventId);
    }

    [Fact]
    public void Retracting_a_retraction_restores_its_target()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "failure")
            .Retract(31, "failure", "r1").Retract(32, "r1", "r2");
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Between(100, 180), Assert.Single(derived.Lives).Outcome);
        Assert.Equal(EventStanding.Retracted, history.Status(derived, "r1").Standing);
        Assert.Equal(EventStanding.Counted, history.Status(derived, "failure").Standing);
    }

    [Fact]
    public void An_event_that_two_retract_stays_retracted_when_one_of_them_is()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "failure")
            .Retract(31, "failure", "r1").Retract(31, "failure", "r2").Retract(32, "r1", "r3");

        Assert.Equal(EventStanding.Retracted, history.Status(history.Derive(), "failure").Standing);
    }

    [Fact]
    public void A_retraction_waits_for_its_target_and_counts_once_that_comes()
    {
        var history = Fitted().Retract(31, "later", "r");
        var waiting = history.Status(history.Derive(), "r");
        Assert.Equal(UnresolvedReason.TargetMissing, waiting.UnresolvedReason);

        history.At(20, new FailedV1 { ReadingHours = 180 }, "later");
        Assert.Equal(EventStanding.Retracted, history.Status(history.Derive(), "later").Standing);
        Assert.Equal(EventStanding.Counted, history.Status(history.Derive(), "r").Standing);
    }

    [Fact]
    public void Retractions_in_a_circle_retract_nothing()
    {
        var history = Fitted().Retract(31, "b", "a").Retract(32, "a", "b").Retract(33, "c", "c");
        var derived = history.Derive();

        Assert.All(["a", "b", "c"], id =>
            Assert.Equal(UnresolvedReason.TargetCircular, history.Status(derived, id).UnresolvedReason));
        Assert.Equal(HoursRange.Known(100), derived.Age);
    }

    [Fact]
    public void Events_of_a_module_that_is_not_registered_wait()
    {
        var history = new Scenario.History().OnHost(0, 0).Read(10, 100);
        var waiting = history.Derive();
        Assert.Equal(ModuleState.Unregistered, waiting.State);
        Assert.Empty(waiting.Lives);
        Assert.All(waiting.Events, status => Assert.Equal(UnresolvedReason.ModuleNotRegistered, status.UnresolvedReason));

        Assert.Equal(LifeOutcome.Survived(100), Assert.Single(history.Registered().Derive().Lives).Outcome);
    }

    [Fact]
    public void A_life_of_an_unknown_model_is_excluded_and_counted()
    {
        var derived = Fitted().Derive(catalogue: new([]));

        Assert.Equal(LifeExclusion.ModelUnknown, Assert.Single(derived.Lives).Exclusion);
        Assert.Equal(UnresolvedReason.ModelUnknown, derived.Events[0].UnresolvedReason);
    }

    [Fact]
    public void Of_two_bodies_under_one_id_the_same_counts_whichever_came_first()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "twice").At(20, new FailedV1 { ReadingHours = 150 }, "twice");
        var backwards = LifeDerivation.Derive(
            new(Scenario.History.Module, [.. history.Events.Reverse()]), Scenario.History.Catalogue);

        Assert.Equal(history.Derive().Lives[0].Outcome, backwards.Lives[0].Outcome);
        Assert.Contains(backwards.Events, status => status.Flags.Contains(RecordOddity.SameIdOtherBody));
    }
}
