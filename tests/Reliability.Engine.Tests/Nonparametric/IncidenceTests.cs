using CsCheck;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.Fitting;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Nonparametric;

public sealed class IncidenceTests
{
    private static readonly string?[] Modes = ["wear", "crack", null];

    /// <summary>Lives with ties, counts, late entry and three modes, unknown among them.</summary>
    private static readonly Gen<LifeSample> Competing =
        from rows in Gen.Select(Gen.Int[0, 3], Gen.Int[1, 15], Gen.Int[0, 2], Gen.Int[1, 4]).List[1, 60]
        select Make(rows);

    [Fact]
    public void Incidences_and_reliability_add_up_to_1() => Competing.Cases(300, sample =>
    {
        var points = Asked.Catalog.Nonparametric.Estimate(sample).Value.Points;
        var incidences = Asked.Catalog.Nonparametric.Incidence(sample).Value;

        foreach (var point in points)
        {
            var failed = incidences.Sum(i => i.Points.LastOrDefault(p => p.Hours <= point.Hours)?.Incidence.Value ?? 0);
            Assert.Equal(1, failed + point.Reliability.Value!.Value, 1e-12);
        }
    });

    [Fact]
    public void One_mode_alone_is_the_complement_of_Kaplan_Meier_with_its_standard_error() => Competing.Cases(200, sample =>
    {
        var one = new LifeSampleBuilder();
        for (var i = 0; i < sample.RowCount; i++)
        {
            if (sample.Outcomes[i] == LifeOutcome.Failed)
                one.AddFailed(sample.LowerHours[i], sample.EntryHours[i], sample.Counts[i], failureMode: "wear");
            else
                one.AddSurvived(sample.LowerHours[i], sample.EntryHours[i], sample.Counts[i]);
        }

        var points = Asked.Catalog.Nonparametric.Estimate(one.Build()).Value.Points;
        var incidence = Asked.Catalog.Nonparametric.Incidence(one.Build()).Value;

        foreach (var (point, share) in points.Zip(incidence.Count == 0 ? [] : incidence[0].Points))
        {
            Assert.Equal(1 - point.Reliability.Value!.Value, share.Incidence.Value!.Value, 1e-12);
            if (share.Incidence.StandardError is { } error && point.Reliability.StandardError is { } expected)
                Assert.Equal(expected, error, 1e-9);
        }
    });

    /// <summary>All failed at once by two modes: a multinomial draw, standard error sqrt(p (1 - p)/n).</summary>
    [Fact]
    public void Failures_all_at_one_age_are_a_multinomial_draw()
    {
        var sample = new LifeSampleBuilder().AddFailed(10, count: 3, failureMode: "wear").AddFailed(10, count: 7, failureMode: "crack").Build();

        var incidences = Asked.Catalog.Nonparametric.Incidence(sample).Value;

        Assert.Equal(["wear", "crack"], incidences.Select(i => i.FailureMode));
        Assert.Equal(0.3, incidences[0].Points[0].Incidence.Value!.Value, 1e-15);
        Assert.All(incidences, i => Assert.Equal(Math.Sqrt(0.3 * 0.7 / 10), i.Points[0].Incidence.StandardError!.Value, 1e-14));
    }

    [Fact]
    public void Intervals_and_empty_samples_give_a_reason()
    {
        var between = new LifeSampleBuilder().AddBetween(1, 2, failureMode: "wear").Build();

        Assert.Equal(NotEstimableReasons.IntervalOutcomes, Asked.Catalog.Nonparametric.Incidence(between).NotEstimable?.Reason);
        Assert.Equal(NotEstimableReasons.NoObservations, Asked.Catalog.Nonparametric.Incidence(LifeSample.Empty).NotEstimable?.Reason);
    }

    private static LifeSample Make(List<(int Kind, int Age, int Mode, int Count)> rows)
    {
        var builder = new LifeSampleBuilder();
        foreach (var (kind, age, mode, count) in rows)
        {
            switch (kind)
            {
                case 0: builder.AddFailed(age, count: count, failureMode: Modes[mode]); break;
                case 1: builder.AddFailed(age, age / 2.0, count, failureMode: Modes[mode]); break;
                case 2: builder.AddSurvived(age, count: count); break;
                default: builder.AddSurvived(age + 3, age, count); break;
            }
        }

        return builder.Build();
    }
}
