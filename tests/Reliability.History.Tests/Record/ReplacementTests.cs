using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Record;

/// <summary>What a replacement does. Rules: the domain description, "Events".</summary>
public sealed class ReplacementTests
{
    private static Scenario.History Fitted() => new Scenario.History().Registered().OnHost(0, 0).Read(10, 100);

    [Fact]
    public void The_right_event_counts_in_the_place_of_the_wrong_one()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 1800 }, "wrong").Replace(40, "wrong", 21, new FailedV1 { ReadingHours = 180 }, "right");
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Between(100, 180), Assert.Single(derived.Lives).Outcome);
        Assert.Equal(Scenario.History.Day(21), derived.Lives[0].EndTime);
        var wrong = history.Status(derived, "wrong");
        Assert.Equal(EventStanding.Replaced, wrong.Standing);
        Assert.Equal(history.Status(derived, "right").EventId, wrong.RelatedEventId);
        Assert.Equal(EventStanding.Counted, history.Status(derived, "right").Standing);
    }

    [Fact]
    public void What_is_odd_about_the_right_event_is_said_of_the_replacement()
    {
        var history = Fitted().Read(20, 200, "wrong").Read(40, 300)
            .Replace(50, "wrong", 20, new RunHoursReadV1 { Readings = [MeterReading.AtInstant(Scenario.History.Day(20), 9_000)] }, "right");
        var derived = history.Derive();

        Assert.Equal(EventStanding.LeftOut, history.Status(derived, "right").Standing);
        Assert.Equal(LifeOutcome.Survived(300), Assert.Single(derived.Lives).Outcome);
    }

    [Fact]
    public void Retracting_a_replacement_restores_the_wrong_event()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "wrong").Replace(40, "wrong", 21, new FailedV1 { ReadingHours = 190 }, "right")
            .Retract(41, "right", "back");
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Between(100, 180), Assert.Single(derived.Lives).Outcome);
        Assert.Equal(EventStanding.Counted, history.Status(derived, "wrong").Standing);
        Assert.Equal(EventStanding.Retracted, history.Status(derived, "right").Standing);
    }

    [Fact]
    public void A_replacement_can_itself_be_replaced()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "wrong").Replace(40, "wrong", 21, new FailedV1 { ReadingHours = 190 }, "better")
            .Replace(39, "better", 22, new FailedV1 { ReadingHours = 195 }, "best");
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Between(100, 195), Assert.Single(derived.Lives).Outcome);
        Assert.Equal(EventStanding.Replaced, history.Status(derived, "better").Standing);
        Assert.Equal(EventStanding.Replaced, history.Status(derived, "wrong").Standing);
    }

    [Fact]
    public void Replacing_a_retraction_restores_its_target_and_counts_itself()
    {
        var history = Fitted().Read(20, 200, "reading").Retract(30, "reading", "hasty")
            .Replace(40, "hasty", 25, new RunHoursReadV1 { Readings = [MeterReading.AtInstant(Scenario.History.Day(25), 250)] });

        Assert.Equal(LifeOutcome.Survived(250), Assert.Single(history.Derive().Lives).Outcome);
        Assert.Equal(EventStanding.Counted, history.Status(history.Derive(), "reading").Standing);
    }

    [Fact]
    public void An_event_that_is_retracted_and_replaced_is_replaced()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "wrong").Retract(30, "wrong", "r")
            .Replace(40, "wrong", 21, new FailedV1 { ReadingHours = 190 }, "right");

        Assert.Equal(LifeOutcome.Between(100, 190), Assert.Single(history.Derive().Lives).Outcome);
        Assert.Equal(EventStanding.Replaced, history.Status(history.Derive(), "wrong").Standing);
    }

    [Fact]
    public void Of_several_replacements_of_one_event_the_latest_counts()
    {
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "wrong")
            .Replace(42, "wrong", 21, new FailedV1 { ReadingHours = 190 }, "later")
            .Replace(40, "wrong", 22, new FailedV1 { ReadingHours = 195 }, "earlier")
            .Replace(41, "earlier", 22, new FailedV1 { ReadingHours = 196 }, "of-the-earlier")
            .Replace(40, "wrong", 21, new FailedV1 { ReadingHours = 190 }, "same");
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Between(100, 190), Assert.Single(derived.Lives).Outcome);
        var later = history.Status(derived, "later").EventId;
        Assert.Equal((EventStanding.Conflict, later), Standing("of-the-earlier"));
        Assert.Equal((EventStanding.Duplicate, later), Standing("same"));
        Assert.Equal(EventStanding.Replaced, history.Status(derived, "earlier").Standing);

        // Without the latest one the next has its place.
        history.Retract(50, "later", "r");
        Assert.Equal(LifeOutcome.Between(100, 196), Assert.Single(history.Derive().Lives).Outcome);

        (EventStanding, Guid?) Standing(string id) =>
            (history.Status(derived, id).Standing, history.Status(derived, id).RelatedEventId);
    }

    [Fact]
    public void Until_the_wrong_event_comes_the_right_one_waits()
    {
        var history = Fitted().Replace(40, "late", 21, new FailedV1 { ReadingHours = 190 }, "right");
        Assert.Equal(LifeOutcome.Survived(100), Assert.Single(history.Derive().Lives).Outcome);
        Assert.Equal(UnresolvedReason.TargetMissing, history.Status(history.Derive(), "right").UnresolvedReason);

        history.At(20, new FailedV1 { ReadingHours = 180 }, "late");
        Assert.Equal(LifeOutcome.Between(100, 190), Assert.Single(history.Derive().Lives).Outcome);
    }

    [Fact]
    public void Corrections_in_a_circle_change_nothing()
    {
        var history = Fitted().Replace(40, "b", 21, new FailedV1 { ReadingHours = 190 }, "a")
            .Replace(40, "a", 21, new FailedV1 { ReadingHours = 190 }, "b").Replace(41, "c", 21, new FailedV1 { ReadingHours = 190 }, "c");
        var derived = history.Derive();

        Assert.Equal(LifeOutcome.Survived(100), Assert.Single(derived.Lives).Outcome);
        Assert.All(["a", "b", "c"], id =>
            Assert.Equal(UnresolvedReason.TargetCircular, history.Status(derived, id).UnresolvedReason));
    }

    [Fact]
    public void A_replaced_registration_opens_the_record_as_the_right_one_says()
    {
        var history = new Scenario.History().At(0, new RegisteredV1 { Model = "mistyped", AgeHours = 0 }, "wrong").OnHost(0, 0).Read(10, 100);
        Assert.Equal(LifeExclusion.ModelUnknown, Assert.Single(history.Derive().Lives).Exclusion);

        history.Replace(40, "wrong", 0, new RegisteredV1 { Model = Scenario.History.Model, AgeHours = 20 });
        var life = Assert.Single(history.Derive().Lives);
        Assert.Equal((20, LifeOutcome.Survived(120)), (life.EntryHours, life.Outcome));
    }

    [Fact]
    public void Every_order_of_arrival_gives_the_same_lives_and_standings()
    {
        var history = new Scenario.History().Registered().OnHost(0, 0).At(20, new FailedV1 { ReadingHours = 1800 }, "wrong")
            .Replace(40, "wrong", 21, new FailedV1 { ReadingHours = 190 }, "better")
            .Replace(39, "better", 22, new FailedV1 { ReadingHours = 195 }, "best")
            .Retract(50, "best", "no").Retract(51, "no", "yes");
        var expected = history.Derive();
        Assert.Equal(195, Assert.Single(expected.Lives).Outcome!.Value.UpperHours);

        var orders = Permutations([.. history.Events]).ToList();
        Assert.Equal(5_040, orders.Count);
        foreach (var order in orders)
        {
            var derived = LifeDerivation.Derive(new(Scenario.History.Module, order), Scenario.History.Catalogue);
            Assert.Equal(expected.Lives[0].Outcome, Assert.Single(derived.Lives).Outcome);
            Assert.Equal(
                expected.Events.Select(e => (e.EventId, e.Standing, e.RelatedEventId)),
                derived.Events.Select(e => (e.EventId, e.Standing, e.RelatedEventId)));
        }
    }

    [Fact]
    public void A_long_chain_of_replacements_is_followed()
    {
        const int Length = 5_000;
        var history = Fitted().At(20, new FailedV1 { ReadingHours = 180 }, "c0");
        for (var n = 1; n <= Length; n++)
            history.Replace(40, $"c{n - 1}", 21, new FailedV1 { ReadingHours = 180 + (0.01 * n) }, $"c{n}");

        Assert.Equal(LifeOutcome.Between(100, 180 + (0.01 * Length)), Assert.Single(history.Derive().Lives).Outcome);
    }

    private static IEnumerable<RecordedEvent[]> Permutations(RecordedEvent[] events)
    {
        if (events.Length <= 1)
            return [events];
        return events.SelectMany((first, n) =>
            Permutations([.. events[..n], .. events[(n + 1)..]]).Select(rest => (RecordedEvent[])[first, .. rest]));
    }
}
