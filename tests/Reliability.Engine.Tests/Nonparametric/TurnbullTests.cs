using System.Globalization;
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

        var covered = new double[sample.RowCount];
        for (var i = 0; i < covered.Length; i++)
            covered[i] = masses.Where(m => Covers(sample, i, m.Age, m.Beyond)).Sum(m => m.Mass);
        foreach (var age in ages)
        {
            foreach (var beyond in (bool[])[false, true])
            {
                var slope = Enumerable.Range(0, covered.Length).Where(i => Covers(sample, i, age, beyond))
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
            Assert.Equal(curve.Sets.Hours[k], intervals.Upper[k]);
            Assert.Equal(curve.Reliability[k], found.Survival()[k], 1e-12);
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
    public void Hostile_samples_give_finite_answers_that_are_maxima()
    {
        var missed = new List<double>();
        Hostile.Cases(MoreSamples ?? 1000, sample =>
        {
            if (sample.RowCount == 0)
                return;
            var found = TurnbullMaximiser.Maximise(InnermostIntervals.Of(sample), TestContext.Current.CancellationToken);

            if (!(found.Violation <= TurnbullMaximiser.Tolerance))
                missed.Add(found.Violation);
            else
                Assert.All(found.Survival(), s => Assert.InRange(s, 0, 1));
            AssertFinite(sample);
        });
        Assert.True(missed.Count == 0, $"{missed.Count} maxima were not reached, violations {string.Join(", ", missed.Take(20))}");
    }

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
        Assert.Equal(0, found.Survival()[^1]);
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

    /// <summary>
    /// With late entry, from the observations anew: mass at a point of the axis raises P(known) of some lives and P(reached the entry
    /// age) of some; the pulls cancel where there is mass, and at most so elsewhere. Every gap between two neighbouring ends is tried.
    /// </summary>
    [Fact]
    public void The_conditions_of_a_maximum_hold_with_late_entry() => MixedWithLateEntry.Cases(600, sample =>
    {
        var masses = Masses(Estimate(sample));
        var end = masses[^1].Mass > 0 ? double.PositiveInfinity : masses.Last(m => m.Mass > 0).Age;

        // Once the curve is at 0, later entries say nothing of it.
        int[] rows = [.. Enumerable.Range(0, sample.RowCount).Where(i => sample.EntryHours[i] < end)];
        bool Watched(int row, double age, bool beyond) => beyond ? age >= sample.EntryHours[row] : age > sample.EntryHours[row];
        double Mass(Func<double, bool, bool> where) => masses.Where(m => where(m.Age, m.Beyond)).Sum(m => m.Mass);
        var known = rows.ToDictionary(i => i, i => Mass((age, beyond) => Covers(sample, i, age, beyond)));
        var reached = rows.ToDictionary(i => i, i => Mass((age, beyond) => Watched(i, age, beyond)));
        double[] ages = [.. rows.SelectMany(i => new[] { sample.LowerHours[i], sample.UpperHours[i], sample.EntryHours[i] }).Distinct().Where(a => a <= end).Order()];
        foreach (var age in ages)
        {
            foreach (var beyond in (bool[])[false, true])
            {
                var up = rows.Where(i => Covers(sample, i, age, beyond)).Sum(i => sample.Counts[i] / known[i]);
                var down = rows.Where(i => Watched(i, age, beyond)).Sum(i => sample.Counts[i] / reached[i]);
                Assert.True(up <= down * (1 + 1e-8), $"{up} against {down} at {age}");
                if (masses.Any(m => m.Mass > 0 && m.Age == age && m.Beyond == beyond))
                    Assert.Equal(1, up / down, 1e-8);
            }
        }
    });

    [Fact]
    public void Exact_lives_with_late_entry_give_the_curve_of_Kaplan_and_Meier() => MixedWithLateEntry.Cases(200, mixed =>
    {
        var sample = WithoutIntervals(mixed);
        var left = TurnbullMaximiser.Maximise(InnermostIntervals.Of(sample), CancellationToken.None).Survival();
        var curve = KaplanMeier.Of(sample);

        // The curve ends where it has fallen to 0; Kaplan and Meier's stays there.
        for (var k = 0; k < curve.Reliability.Length; k++)
            Assert.Equal(curve.Reliability[k], k < left.Length ? left[k] : 0, 1e-12);
    });

    /// <summary>
    /// By hand: a life that failed in (40, 80], one watched from new and one from 60, both alive at 100. Hazard in (40, 60] is
    /// outlived by the first survivor alone, in (60, 80] by both: it lies in (40, 60], and one of two failed.
    /// </summary>
    [Fact]
    public void An_age_of_entry_ends_an_interval()
    {
        var estimate = Estimate(new LifeSampleBuilder().AddBetween(40, 80).AddSurvived(100).AddSurvived(100, 60).Build());

        var point = Assert.Single(estimate.Points);
        Assert.Equal((40, 60), (point.LowerHours!.Value, point.Hours));
        Assert.Equal(0.5, point.Reliability.Value!.Value, 1e-12);
    }

    [Fact]
    public void Few_lives_early_are_warned_of_with_late_entry()
    {
        var builder = new LifeSampleBuilder().AddBetween(10, 20).AddSurvived(500, count: 2);
        var sample = builder.AddBetween(200, 300, 100, 20).AddSurvived(500, 100, 40).Build();

        Assert.Contains(Estimate(sample).Warnings, w => w.Code == WarningCodes.SmallEarlyRiskSet);
        Assert.Equal(WarningCodes.NoValue, Assert.Single(Mean(sample, 500).Notes).Code);
    }

    [Fact]
    public void A_restricted_mean_between_two_ages_is_told_as_a_range()
    {
        var sample = new LifeSampleBuilder().AddBetween(100, 200, count: 2).AddSurvived(400, count: 2).Build();

        var mean = Mean(sample, 300);

        // Half fall somewhere in (100, 200], half reach the limit: from (100 + 300)/2 to (200 + 300)/2.
        Assert.Null(mean.Value);
        Assert.Contains("from 200 to 250 hours", Assert.Single(mean.Notes).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_restricted_mean_is_a_number_where_all_the_mass_lies_at_ages()
    {
        // The failure between 100 and 200 h falls in with the one at 150 h: two thirds there, by definition, and one third at 250 h.
        var sample = new LifeSampleBuilder().AddFailed(150).AddBetween(100, 200).AddFailed(250).Build();

        var mean = Mean(sample, 250);

        Assert.Equal((150 + 150 + 250) / 3.0, mean.Value!.Value, 1e-5);
        Assert.Equal(WarningCodes.NoBounds, Assert.Single(mean.Notes).Code);
    }

    private static int? MoreSamples =>
        int.TryParse(
            Environment.GetEnvironmentVariable("RELIABILITY_HOSTILE_SAMPLES"), NumberStyles.None, CultureInfo.InvariantCulture, out var samples)
            ? samples
            : null;

    private static readonly Gen<LifeSample> Hostile =
        from spread in Gen.Int[0, 6].Select(i => Spreads[i])
        from rows in Gen.Select(
            Gen.OneOf(Gen.Double[-1, 1], Gen.Int[-3, 3].Select(i => i / 3.0)), Gen.Int[0, 5],
            Gen.Int[0, 6].Select(i => HostileCounts[i])).List[0, 30]
        select MakeHostile(spread, rows);

    /// <summary>The same, some watched from a later age on only.</summary>
    private static readonly Gen<LifeSample> MixedWithLateEntry =
        from rows in Gen.Select(Gen.Int[0, 4], Gen.Int[1, 12], Gen.Int[1, 6], Gen.Int[1, 3]).List[1, 40]
        from entries in Gen.Int[0, 12].List[40, 40]
        select WithEntries(Make(rows), entries);

    private static LifeSample WithEntries(LifeSample sample, List<int> entries)
    {
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < sample.RowCount; i++)
        {
            var entry = entries[i % entries.Count];
            var possible = sample.Outcomes[i] == LifeOutcome.Between ? entry <= sample.LowerHours[i] : entry < sample.LowerHours[i];
            Add(builder, sample, i, sample.Counts[i], possible ? entry : 0);
        }

        return builder.Build();
    }

    /// <summary>Whether a point of the axis, an age itself or what lies just beyond it, lies in what is known of a life.</summary>
    private static bool Covers(LifeSample sample, int row, double age, bool beyond) => sample.Outcomes[row] switch
    {
        LifeOutcome.Failed => !beyond && age == sample.LowerHours[row],
        LifeOutcome.Survived => beyond ? age >= sample.LowerHours[row] : age > sample.LowerHours[row],
        _ => (beyond ? age >= sample.LowerHours[row] : age > sample.LowerHours[row])
            && (beyond ? age < sample.UpperHours[row] : age <= sample.UpperHours[row]),
    };

    private static BoundedEstimate Mean(LifeSample sample, double limit) => Asked.Catalog.Nonparametric.RestrictedMean(Estimate(sample), limit);

    private static SurvivalEstimate Estimate(LifeSample sample) => Asked.Catalog.Nonparametric.Estimate(sample).Value;

    private static void AssertFinite(LifeSample sample)
    {
        if (!Asked.Catalog.Nonparametric.Estimate(sample).TryGet(out var estimate, out var reason))
        {
            Assert.Equal(NotEstimableReasons.NoConvergence, reason.Reason);
            return;
        }

        var mean = Asked.Catalog.Nonparametric.RestrictedMean(estimate, sample.OldestHours);
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
                Add(builder, sample, i, sample.Counts[i], sample.EntryHours[i]);
        }

        return builder.Build();
    }

    private static void Add(LifeSampleBuilder builder, LifeSample sample, int row, double count, double entry = 0)
    {
        switch (sample.Outcomes[row])
        {
            case LifeOutcome.Failed: builder.AddFailed(sample.LowerHours[row], entry, count); break;
            case LifeOutcome.Survived: builder.AddSurvived(sample.LowerHours[row], entry, count); break;
            default: builder.AddBetween(sample.LowerHours[row], sample.UpperHours[row], entry, count); break;
        }
    }
}
