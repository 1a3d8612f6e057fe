using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Tests.Samples;

public sealed class LifeSampleBuilderTests
{
    private static readonly double[] Impossible = [double.NaN, double.PositiveInfinity, double.NegativeInfinity, -1];

    [Fact]
    public void Hours_that_cannot_be_are_refused_by_name()
    {
        foreach (var bad in Impossible)
        {
            Assert.Equal("hours", Refused(b => b.AddFailed(bad)));
            Assert.Equal("hours", Refused(b => b.AddSurvived(bad)));
            Assert.Equal("lowerHours", Refused(b => b.AddBetween(bad, 5)));
            Assert.Equal("upperHours", Refused(b => b.AddBetween(0, bad)));
            Assert.Equal("entryHours", Refused(b => b.AddFailed(5, bad)));
            Assert.Equal("count", Refused(b => b.AddFailed(5, count: bad)));
            Assert.Equal("plannedEndHours", Refused(b => b.AddFailed(5, plannedEndHours: bad)));
        }
    }

    [Fact]
    public void Rows_that_contradict_themselves_are_refused_by_name()
    {
        Assert.Equal("hours", Refused(b => b.AddFailed(0)));
        Assert.Equal("entryHours", Refused(b => b.AddFailed(5, 5)));
        Assert.Equal("entryHours", Refused(b => b.AddSurvived(5, 6)));
        Assert.Equal("lowerHours", Refused(b => b.AddBetween(7, 7)));
        Assert.Equal("lowerHours", Refused(b => b.AddBetween(8, 7)));
        Assert.Equal("entryHours", Refused(b => b.AddBetween(3, 7, 4)));
        Assert.Equal("count", Refused(b => b.AddSurvived(5, count: 0)));
        Assert.Equal("plannedEndHours", Refused(b => b.AddFailed(5, plannedEndHours: 4)));
    }

    [Fact]
    public void A_failure_at_0_hours_is_refused_with_the_reason()
    {
        var error = Assert.Throws<ArgumentException>(() => new LifeSampleBuilder().AddFailed(0));

        Assert.Contains("interval in which it failed", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_sample_holds_its_rows_and_sums()
    {
        var sample = new LifeSampleBuilder()
            .AddFailed(10, 2, 3)
            .AddSurvived(20, count: 4, plannedEndHours: 25)
            .AddBetween(0, 30, count: 5)
            .Build();

        Assert.Equal([LifeOutcome.Failed, LifeOutcome.Survived, LifeOutcome.Between], sample.Outcomes.ToArray());
        Assert.Equal([10, 20, 0], sample.LowerHours.ToArray());
        Assert.Equal([10, 20, 30], sample.UpperHours.ToArray());
        Assert.Equal([2, 0, 0], sample.EntryHours.ToArray());
        Assert.Equal([3, 4, 5], sample.Counts.ToArray());
        Assert.Equal([double.NaN, 25, double.NaN], sample.PlannedEndHours.ToArray());
        Assert.Equal((3, 4, 5, 12, 8), (sample.FailedCount, sample.SurvivedCount, sample.BetweenCount, sample.TotalCount, sample.FailureCount));
        Assert.Equal(30, sample.OldestHours);
        Assert.True(sample.HasIntervals && sample.HasLateEntry);
    }

    [Fact]
    public void Samples_are_joined_in_order()
    {
        var first = new LifeSampleBuilder().AddFailed(10).Build();
        var second = new LifeSampleBuilder().AddSurvived(20, plannedEndHours: 30).Build();

        var joined = LifeSample.Concat(first, second);

        Assert.Equal([10, 20], joined.LowerHours.ToArray());
        Assert.Equal([double.NaN, 30], joined.PlannedEndHours.ToArray());
        Assert.True(LifeSample.Concat(first, first).PlannedEndHours.IsEmpty);
        Assert.Equal(0, LifeSample.Empty.RowCount);
    }

    [Fact]
    public void Failure_modes_are_places_in_a_list_of_names_and_nothing_where_none_is_stated()
    {
        var without = new LifeSampleBuilder().AddFailed(10).AddSurvived(20).AddFailed(30, failureMode: "").Build();
        var with = new LifeSampleBuilder().AddFailed(5).AddFailed(10, failureMode: "wear").AddSurvived(20)
            .AddBetween(20, 30, failureMode: "crack").AddFailed(40, failureMode: "wear").Build();

        Assert.True(without.FailureModes.IsEmpty);
        Assert.Empty(without.FailureModeNames);
        Assert.Equal(["wear", "crack"], with.FailureModeNames);
        Assert.Equal([-1, 0, -1, 1, 0], with.FailureModes.ToArray());
    }

    [Fact]
    public void Failure_modes_keep_their_names_when_samples_are_joined()
    {
        var none = new LifeSampleBuilder().AddFailed(1).Build();
        var first = new LifeSampleBuilder().AddFailed(2, failureMode: "wear").AddSurvived(3).Build();
        var second = new LifeSampleBuilder().AddFailed(4, failureMode: "crack").AddFailed(5, failureMode: "wear").Build();

        var joined = LifeSample.Concat(none, first, second, none);

        Assert.Equal(["wear", "crack"], joined.FailureModeNames);
        Assert.Equal([-1, 0, -1, 1, 0, -1], joined.FailureModes.ToArray());
        Assert.True(LifeSample.Concat(none, none).FailureModes.IsEmpty);
    }

    private static string? Refused(Action<LifeSampleBuilder> add) =>
        Assert.Throws<ArgumentException>(() => add(new LifeSampleBuilder())).ParamName;
}
