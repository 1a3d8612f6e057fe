using Reliability.History.Events;
using Reliability.History.Lives;
using Xunit;

namespace Reliability.History.Tests.Lives;

/// <summary>When a life starts anew, when hours go on, and when nobody can tell.</summary>
public sealed class RenewalTests
{
    private static Scenario.History Worked(RenewalStatement renews, RemovalReason reason = RemovalReason.Planned) =>
        new Scenario.History().Registered().OnHost(0, 0).Read(10, 100).Removed(20, 200, reason)
            .Refurbished(25, renews).OnHost(30, 5_000).Read(40, 5_090);

    [Fact]
    public void Renewed_it_starts_a_new_life_in_a_new_condition()
    {
        var derived = Worked(RenewalStatement.Yes).Derive();

        Assert.Equal([LifeOutcome.Survived(200), LifeOutcome.Survived(90)], derived.Lives.Select(life => life.Outcome));
        Assert.Equal([0, 1], derived.Lives.Select(life => life.Condition.RefurbishmentCount));
        Assert.Equal(HoursRange.Known(200), derived.Lives[1].TotalHoursBefore);
        Assert.Equal(HoursRange.Known(290), derived.TotalHours);
    }

    [Fact]
    public void Not_renewed_the_hours_go_on()
    {
        var derived = Worked(RenewalStatement.No).Derive();

        Assert.Equal(LifeOutcome.Survived(290), Assert.Single(derived.Lives).Outcome);
    }

    [Fact]
    public void Not_renewed_after_a_failure_the_hours_form_no_life_and_count_in_all()
    {
        var derived = Worked(RenewalStatement.No, RemovalReason.Failed).Failed(50, 5_150).Derive();

        Assert.Equal(LifeOutcome.Between(100, 200), Assert.Single(derived.Lives).Outcome);
        Assert.Equal([1, null], derived.Spells.Select(spell => spell.LifeNumber));
        Assert.Equal([true, true], derived.Spells.Select(spell => spell.Failed));
        Assert.Equal(new HoursRange(250, 350), derived.TotalHours);
        Assert.Null(derived.Age);
    }

    [Fact]
    public void Of_unknown_extent_what_follows_is_excluded_and_counted()
    {
        var derived = Worked(RenewalStatement.Unknown).Derive();

        Assert.Equal([LifeOutcome.Survived(200), LifeOutcome.Survived(90)], derived.Lives.Select(life => life.Outcome));
        Assert.Equal([null, LifeExclusion.RenewalUnknown], derived.Lives.Select(life => life.Exclusion));
    }

    [Fact]
    public void Of_unknown_extent_it_is_taken_either_way_on_request()
    {
        var history = Worked(RenewalStatement.Unknown);

        Assert.Equal(
            LifeOutcome.Survived(290), Assert.Single(history.Derive(new() { UnknownRenewalRenews = false }).Lives).Outcome);
        var renewed = history.Derive(new() { UnknownRenewalRenews = true }).Lives;
        Assert.Equal([null, null], renewed.Select(life => life.Exclusion));
        Assert.Equal([LifeOutcome.Survived(200), LifeOutcome.Survived(90)], renewed.Select(life => life.Outcome));
    }

    [Fact]
    public void Renewed_in_place_the_spell_ends_one_life_and_starts_another()
    {
        var derived = new Scenario.History().Registered().OnHost(0, 0).Read(10, 100)
            .At(20, new RepairedV1 { RenewsWearingPart = RenewalStatement.Yes, ReadingBeforeHours = 190, ReadingAfterHours = 190 })
            .Read(30, 280).Derive();

        Assert.Equal([LifeOutcome.Survived(190), LifeOutcome.Survived(90)], derived.Lives.Select(life => life.Outcome));
        Assert.Equal(["vent-3", "vent-3"], derived.Lives.Select(life => life.HostDevice));
        Assert.True(derived.Lives[1].InService);
    }

    [Fact]
    public void Installed_after_a_failure_without_repair_is_flagged()
    {
        var history = new Scenario.History().Registered().OnHost(0, 0).Read(10, 100).Removed(20, 200, RemovalReason.Failed)
            .At(30, new InstalledV1 { HostDevice = "vent-8", Meter = MeterOwner.Host, ReadingHours = 0 }, "again").Read(40, 50);
        var derived = history.Derive();

        Assert.Single(derived.Lives);
        Assert.Equal([RecordOddity.InstalledAfterFailure], history.Status(derived, "again").Flags);
        Assert.Equal(ModuleState.InService, derived.State);
    }

    [Theory]
    [InlineData(ModuleState.InService, 1)]
    [InlineData(ModuleState.FailedInPlace, 2)]
    [InlineData(ModuleState.Removed, 3)]
    [InlineData(ModuleState.OnShelf, 4)]
    [InlineData(ModuleState.InService, 5)]
    [InlineData(ModuleState.Retired, 6)]
    internal void The_state_follows_the_record(ModuleState expected, int steps)
    {
        var history = new Scenario.History().Registered();
        Action[] record =
        [
            () => history.OnHost(0, 0).Read(10, 100),
            () => history.Failed(15, 150),
            () => history.Removed(20, 200, RemovalReason.Failed),
            () => history.Refurbished(25),
            () => history.OnHost(30, 0),
            () => history.Removed(40, 90).At(41, new RetiredV1 { Reason = "obsolete", DisposalRoute = "recycled" }),
        ];
        foreach (var step in record.Take(steps))
            step();

        Assert.Equal(expected, history.Derive().State);
    }

    private static Scenario.History BackFromWork() =>
        new Scenario.History().Registered(reading: 0).OnOwnMeter(0, 0).Read(10, 100).Removed(20, 200, RemovalReason.Failed)
            .At(25, new RefurbishedV1
            {
                By = "Second Turn Bench",
                RenewsWearingPart = RenewalStatement.Yes,
                ReadingBeforeHours = 200,
                ReadingAfterHours = 200,
            });

    [Fact]
    public void Back_from_work_and_not_fitted_it_lies_on_the_shelf_and_lives_no_further_life()
    {
        foreach (var derived in (DerivedModule[])[BackFromWork().Derive(), BackFromWork().Read(30, 200).Derive()])
        {
            Assert.Equal(ModuleState.OnShelf, derived.State);
            Assert.Single(derived.Lives);
            Assert.DoesNotContain(derived.Events, status => status.Flags.Contains(RecordOddity.InstallMissing));
        }
    }

    [Fact]
    public void Back_from_work_and_read_running_it_lives_although_the_install_is_missing()
    {
        var derived = BackFromWork().Read(40, 350).Derive();

        Assert.Equal(ModuleState.InService, derived.State);
        Assert.Equal(LifeOutcome.Survived(150), derived.Lives[1].Outcome);
    }
}
