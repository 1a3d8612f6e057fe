using CsCheck;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Nonparametric;
using Reliability.Engine.Tests.Fitting;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Nonparametric;

public sealed class KaplanMeierTests
{
    private static readonly Gen<List<(int Age, int Count)>> Failures = Gen.Select(Gen.Int[1, 30], Gen.Int[1, 5]).List[1, 80];

    [Fact]
    public void Without_survivors_the_curve_is_the_share_not_failed_yet() => Failures.Cases(200, rows =>
    {
        var sample = Sample(rows);
        var total = rows.Sum(r => r.Count);

        foreach (var point in Asked.Catalog.Nonparametric.Estimate(sample).Value.Points)
        {
            var left = rows.Where(r => r.Age > point.Hours).Sum(r => r.Count);
            Assert.Equal((double)left / total, point.Reliability.Value!.Value, 1e-12);
        }
    });

    [Fact]
    public void Without_survivors_the_restricted_mean_is_the_mean_of_the_lives() => Failures.Cases(200, rows =>
    {
        var mean = Mean(Sample(rows), 30);

        Assert.Equal((double)rows.Sum(r => r.Age * r.Count) / rows.Sum(r => r.Count), mean.Value!.Value, 1e-10);
    });

    [Fact]
    public void A_restricted_mean_beyond_what_was_watched_has_no_value()
    {
        var sample = new LifeSampleBuilder().AddFailed(100).AddSurvived(200).Build();

        var beyond = Mean(sample, 201);

        Assert.Equal(WarningCodes.NoValue, Assert.Single(beyond.Notes).Code);
        Assert.Null(beyond.Value);
        Assert.Equal(150, Mean(sample, 200).Value);
        Assert.Equal(50, Mean(sample, 50).Value);
        Assert.Equal("limit_hours", Assert.Throws<UnsupportedRequestException>(
            () => Mean(sample, 0)).Option);
    }

    private static BoundedEstimate Mean(LifeSample sample, double limit) =>
        Asked.Catalog.Nonparametric.RestrictedMean(Asked.Catalog.Nonparametric.Estimate(sample).Value, limit);

    /// <summary>Risk sets counted one by one, against those swept in order of age.</summary>
    [Fact]
    public void Risk_sets_hold_who_entered_before_and_had_not_ended() => RandomSamples.Ordinary.Cases(100, ordinary =>
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < ordinary.RowCount; i++)
        {
            if (ordinary.Outcomes[i] == LifeOutcome.Failed)
                builder.AddFailed(ordinary.UpperHours[i], ordinary.EntryHours[i], ordinary.Counts[i]);
            else
                builder.AddSurvived(ordinary.UpperHours[i], ordinary.EntryHours[i], ordinary.Counts[i]);
        }

        var sample = builder.Build();
        var sets = RiskSets.Of(sample);

        for (var k = 0; k < sets.Hours.Length; k++)
        {
            var atRisk = Enumerable.Range(0, sample.RowCount)
                .Where(i => sample.EntryHours[i] < sets.Hours[k] && sets.Hours[k] <= sample.UpperHours[i]).Sum(i => sample.Counts[i]);
            Assert.Equal(atRisk, sets.AtRisk[k], 1e-9);
        }
    });

    private static LifeSample Sample(List<(int Age, int Count)> rows)
    {
        var builder = new LifeSampleBuilder();
        foreach (var (age, count) in rows)
            builder.AddFailed(age, count: count);
        return builder.Build();
    }
}
