using CsCheck;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Nonparametric;
using Reliability.Engine.Tests.Fitting;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Nonparametric;

public sealed class TurnbullTests
{
    private static readonly double[] Spreads = [0, 1e-12, 1e-6, 0.01, 1, 5, 300];
    private static readonly double[] HostileCounts = [1, 1, 2, 1000, 1e-3, 1e9, 1e12];

    /// <summary>Failures, survivors and intervals of every kind on a coarse grid of ages, so that ends meet often.</summary>
    private static readonly Gen<LifeSample> Mixed =
        from rows in Gen.Select(Gen.Int[0, 4], Gen.Int[1, 12], Gen.Int[1, 6], Gen.Int[1, 3]).List[1, 40]
        select Make(rows);

    /// <summary>
    /// The conditions of a maximum (Gentleman and Geyer 1994), worked out anew from the observations: with slope_j the mean over
    /// lives of 1/P_i where interval j lies in what is known of life i, slope_j = 1 where there is mass and at most 1 elsewhere.
    /// Every gap between two neighbouring ends is tried, not only the innermost intervals.
    /// </summary>
    [Fact]
    public void The_conditions_of_a_maximum_hold() => Mixed.Cases(400, sample =>
    {
        var estimate = Estimate(sample);
        double[] ages = [.. sample.LowerHours.ToArray().Concat(sample.UpperHours.ToArray()).Distinct().Order()];
        var masses = Masses(estimate);

        // A point of the axis: an age itself, or (its double + 1) what lies just beyond it.
        bool Covers(int row, double age, bool beyond) => sample.Outcomes[row] switch
        {
            LifeOutcome.Failed => !beyond && age == sample.LowerHours[row],
            LifeOutcome.Survived => beyond ? age >= sample.LowerHours[row] : age > sample.LowerHours[row],
            _ => (beyond ? age >= sample.LowerHours[row] : age > sample.LowerHours[row])
                && (beyond ? age < sample.UpperHours[row] : age <= sample.UpperHours[row]),
        };

        var covered = new double[sample.RowCount];
        for (var i = 0; i < covered.Length; i++)
            covered[i] = masses.Where(m => Covers(i, m.Age, m.Beyond)).Sum(m => m.Mass);
        foreach (var age in ages)
        {
            foreach (var beyond in (bool[])[false, true])
            {
                var slope = Enumerable.Range(0, covered.Length).Where(i => Covers(i, age, beyond))
                    .Sum(i => sample.Counts[i] / covered[i]) / sample.TotalCount;
                Assert.True(slope <= 1 + 1e-9, $"slope {slope} at {age}");
                if (masses.Any(m => m.Mass > 0 && m.Age == age && m.Beyond == beyond))
                    Assert.Equal(1, slope, 1e-9);
            }
        }
    });

    [Fact]
    public void Exact_and_right_censored_lives_give_the_curve_of_Kaplan_and_Meier() => Mixed.Cases(200, mixed =>
    {
        var sample = WithoutIntervals(mixed);
        var intervals = InnermostIntervals.Of(sample);
        var found = TurnbullMaximiser.Maximise(intervals, CancellationToken.None);
        var curve = KaplanMeier.Of(sample);

        Assert.True(found.Violation <= 1e-9);
        for (var k = 0; k < curve.Reliability.Length; k++)
        {
            var after = intervals.Upper.Zip(found.Masses).Where(p => p.First > curve.Sets.Hours[k]).Sum(p => p.Second);
            Assert.Equal(curve.Reliability[k], after, 1e-9);
        }
    });

    [Fact]
    public void Counts_weigh_as_much_as_rows_repeated() => Mixed.Cases(100, sample =>
    {
        var expanded = new LifeSampleBuilder();
        for (var i = 0; i < sample.RowCount; i++)
        {
            for (var c = 0; c < sample.Counts[i]; c++)
                Add(expanded, sample, i, 1);
        }

        var (one, other) = (Estimate(sample), Estimate(expanded.Build()));

        Assert.Equal(one.Points.Select(p => (p.Hours, p.LowerHours)), other.Points.Select(p => (p.Hours, p.LowerHours)));
        Assert.All(one.Points.Zip(other.Points), p => Assert.Equal(p.First.Reliability.Value!.Value, p.Second.Reliability.Value!.Value, 1e-9));
    });

    /// <summary>
    /// Ties, counts over 15 powers of ten, widths of one part in 1e12, ages from 1e-300 to 1e300: an answer with finite numbers
    /// that meets the conditions of a maximum, or a reason.
    /// </summary>
    [Fact]
    public void Hostile_samples_give_finite_answers_that_are_maxima() => Hostile.Cases(1000, sample =>
    {
        if (sample.RowCount == 0)
            return;
        var found = TurnbullMaximiser.Maximise(InnermostIntervals.Of(sample), TestContext.Current.CancellationToken);

        Assert.True(found.Violation <= TurnbullMaximiser.Tolerance, $"violation {found.Violation}");
        Assert.All(found.Masses, m => Assert.True(double.IsFinite(m) && m >= 0));
        AssertFinite(sample);
    });

    [Fact]
    public void Hostile_late_entries_give_finite_answers_or_a_reason() => RandomSamples.Hostile.Cases(500, sample =>
    {
        if (sample.RowCount > 0)
            AssertFinite(sample);
    });

    /// <summary>Ten thousand intervals, which self-consistency alone would take hours for.</summary>
    [Fact]
    public void Ten_thousand_intervals_reach_the_maximum()
    {
        var random = new Random(20261128);
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 10_000; i++)
        {
            var life = 1000 * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
            var width = 20 + 380 * random.NextDouble();
            var lower = Math.Max(0, life - width * random.NextDouble());
            builder.AddBetween(lower, lower + width);
        }

        var found = TurnbullMaximiser.Maximise(InnermostIntervals.Of(builder.Build()), TestContext.Current.CancellationToken);

        Assert.True(found.Violation <= 1e-9, $"violation {found.Violation}");
        Assert.Equal(1, found.Masses.Sum(), 1e-12);
    }

    [Fact]
    public void Equal_intervals_are_one_stretch_and_the_median_lies_in_it()
    {
        var estimate = Estimate(new LifeSampleBuilder().AddBetween(100, 200, count: 7).Build());

        var point = Assert.Single(estimate.Points);
        Assert.Equal((100, 200, 0), (point.LowerHours!.Value, point.Hours, point.Reliability.Value!.Value));
        Assert.Equal(200, estimate.MedianLife.Value);
        Assert.Contains(estimate.MedianLife.Notes, n => n.Text.Contains("after 100 and up to 200", StringComparison.Ordinal));
        Assert.Contains(estimate.Warnings, w => w.Code == WarningCodes.NoBounds);
        Assert.Contains(estimate.Warnings, w => w.Code == WarningCodes.FailuresBetweenAges);
    }

    [Fact]
    public void Late_entry_together_with_intervals_is_refused_with_a_reason()
    {
        var sample = new LifeSampleBuilder().AddBetween(100, 200, 50).AddSurvived(300).Build();

        Assert.Equal(NotEstimableReasons.LateEntry, Asked.Catalog.Nonparametric.Estimate(sample).NotEstimable?.Reason);
        Assert.Equal(NotEstimableReasons.LateEntry, Asked.Catalog.Nonparametric.RestrictedMean(sample, 100).NotEstimable?.Reason);
    }

    [Fact]
    public void A_restricted_mean_between_two_ages_is_told_as_a_range()
    {
        var sample = new LifeSampleBuilder().AddBetween(100, 200, count: 2).AddSurvived(400, count: 2).Build();

        var mean = Asked.Catalog.Nonparametric.RestrictedMean(sample, 300).Value;

        // Half fall somewhere in (100, 200], half reach the limit: from (100 + 300)/2 to (200 + 300)/2.
        Assert.Null(mean.Value);
        Assert.Contains("from 200 to 250 hours", Assert.Single(mean.Notes).Text, StringComparison.Ordinal);
    }

    private static readonly Gen<LifeSample> Hostile =
        from spread in Gen.Int[0, 6].Select(i => Spreads[i])
        from rows in Gen.Select(
            Gen.OneOf(Gen.Double[-1, 1], Gen.Int[-3, 3].Select(i => i / 3.0)), Gen.Int[0, 5],
            Gen.Int[0, 6].Select(i => HostileCounts[i])).List[0, 30]
        select MakeHostile(spread, rows);

    private static SurvivalEstimate Estimate(LifeSample sample) => Asked.Catalog.Nonparametric.Estimate(sample).Value;

    private static void AssertFinite(LifeSample sample)
    {
        if (!Asked.Catalog.Nonparametric.Estimate(sample).TryGet(out var estimate, out var reason))
        {
            Assert.Equal(NotEstimableReasons.LateEntry, reason.Reason);
            return;
        }

        var mean = Asked.Catalog.Nonparametric.RestrictedMean(sample, sample.OldestHours).Value;
        foreach (var number in estimate.Points.SelectMany(p => new[] { p.Reliability, p.CumulativeHazard }).Append(estimate.MedianLife).Append(mean))
        {
            Assert.All(
                new[] { number.Value, number.Lower, number.Upper, number.StandardError }.OfType<double>(),
                n => Assert.True(double.IsFinite(n) && n >= 0));
        }
    }

    /// <summary>Where the estimate puts mass: at an age, or just beyond one for a stretch, and beyond the oldest survivor.</summary>
    private static List<(double Age, bool Beyond, double Mass)> Masses(SurvivalEstimate estimate)
    {
        var masses = new List<(double, bool, double)>();
        var before = 1.0;
        foreach (var point in estimate.Points)
        {
            var after = point.Reliability.Value!.Value;
            masses.Add((point.LowerHours ?? point.Hours, point.LowerHours is not null, before - after));
            before = after;
        }

        masses.Add((double.MaxValue, true, before));
        return masses;
    }

    private static LifeSample Make(List<(int Kind, int Age, int Width, int Count)> rows)
    {
        var builder = new LifeSampleBuilder().AddBetween(3, 5);
        foreach (var (kind, age, width, count) in rows)
        {
            switch (kind)
            {
                case 0: builder.AddFailed(age, count: count); break;
                case 1: builder.AddSurvived(age, count: count); break;
                case 2: builder.AddBetween(0, age, count: count); break;
                default: builder.AddBetween(age - 1, age - 1 + width, count: count); break;
            }
        }

        return builder.Build();
    }

    private static LifeSample MakeHostile(double spread, List<(double X, int Kind, double Count)> rows)
    {
        var builder = new LifeSampleBuilder();
        foreach (var (x, kind, count) in rows)
        {
            var t = Math.Pow(10, spread * x);
            switch (kind)
            {
                case 0: builder.AddFailed(t, count: count); break;
                case 1: builder.AddSurvived(t, count: count); break;
                case 2: builder.AddBetween(0, t, count: count); break;
                case 3: builder.AddBetween(t, t * (1 + 1e-12), count: count); break;
                case 4: builder.AddBetween(t / 2, t * (1.5 + x / 2), count: count); break;
                default: builder.AddBetween(t, 2 * t, count: count); break;
            }
        }

        return builder.Build();
    }

    private static LifeSample WithoutIntervals(LifeSample sample)
    {
        var builder = new LifeSampleBuilder().AddFailed(4);
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] != LifeOutcome.Between)
                Add(builder, sample, i, sample.Counts[i]);
        }

        return builder.Build();
    }

    private static void Add(LifeSampleBuilder builder, LifeSample sample, int row, double count)
    {
        switch (sample.Outcomes[row])
        {
            case LifeOutcome.Failed: builder.AddFailed(sample.LowerHours[row], count: count); break;
            case LifeOutcome.Survived: builder.AddSurvived(sample.LowerHours[row], count: count); break;
            default: builder.AddBetween(sample.LowerHours[row], sample.UpperHours[row], count: count); break;
        }
    }
}
