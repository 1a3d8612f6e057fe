using Reliability.Engine.Abstractions;
using Reliability.Engine.Nonparametric;
using Reliability.Reference;

namespace Reliability.Engine.Tests.ReferenceValues;

/// <summary>Kaplan-Meier and Nelson-Aalen against R survfit; sources in tests/Reference.</summary>
public sealed class SurvivalReferenceTests
{
    public static TheoryData<string> Cases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).Survival is not null)];

    [Theory]
    [MemberData(nameof(Cases))]
    public void Survival_agrees_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.Survival!;

        var estimate = Asked.Catalog.Nonparametric.Estimate(
            Asked.Sample(reference.Observations), 0.95, TestContext.Current.CancellationToken).Value;

        Assert.Equal(expected.Hours.Count, estimate.Points.Count);
        var differences = new Differences();
        for (var k = 0; k < expected.Hours.Count; k++)
        {
            var point = estimate.Points[k];
            var label = $"{name}, {point.Hours} h";
            Assert.Equal(expected.Hours[k], point.Hours);
            Assert.Equal(expected.AtRisk[k], point.AtRisk);
            Assert.Equal(expected.Failures[k], point.Failures);
            void Check(string what, double? wanted, double? got) =>
                differences.Relative($"{label}, {what}", wanted, got, Tolerance.Nonparametric);
            Check("reliability", expected.Reliability[k], point.Reliability.Value);
            Check("standard error", expected.ReliabilityVariance[k] is { } v ? Math.Sqrt(v) : null, point.Reliability.StandardError);
            Check("lower", expected.Lower95[k], point.Reliability.Lower);
            Check("upper", expected.Upper95[k], point.Reliability.Upper);
            Check("cumulative hazard", expected.CumulativeHazard[k], point.CumulativeHazard.Value);
            Check(
                "standard error of the hazard", Math.Sqrt(expected.CumulativeHazardVariance[k]!.Value),
                point.CumulativeHazard.StandardError);
        }

        Assert.True(differences.Compared > 0);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    public static TheoryData<string> IntervalCases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).Turnbull is not null)];

    /// <summary>
    /// Survival at the ends of the innermost intervals: 1e-6 as the README allows, where the stored values come from
    /// self-consistency run to a violation below 1e-12.
    /// </summary>
    [Theory]
    [MemberData(nameof(IntervalCases))]
    public void Survival_with_intervals_agrees_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.Turnbull!;
        var sample = Asked.Sample(reference.Observations);

        var estimate = Asked.Catalog.Nonparametric.Estimate(sample, 0.95, TestContext.Current.CancellationToken).Value;

        Assert.Equal(SurvivalMethod.Turnbull, estimate.Method);
        var differences = new Differences();
        foreach (var interval in expected.Intervals.Where(i => i.Upper is not null))
        {
            var survival = estimate.Points.LastOrDefault(p => p.Hours <= interval.Upper)?.Reliability.Value ?? 1;
            differences.Note(
                $"{name}, after {interval.Upper} h", interval.SurvivalAfter, survival,
                Math.Abs(survival - interval.SurvivalAfter), Tolerance.Turnbull);
        }

        var intervals = InnermostIntervals.Of(sample);
        var found = TurnbullMaximiser.Maximise(intervals, TestContext.Current.CancellationToken);
        differences.Note(
            $"{name}, log-likelihood", expected.LogLikelihood, found.LogLikelihood * sample.TotalCount,
            Tolerance.LogLikelihood(expected.LogLikelihood, found.LogLikelihood * sample.TotalCount), 1e-9);
        Assert.True(differences.Compared > 2);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    /// <summary>Cumulative incidence and its standard error against survfit with several end states.</summary>
    [Fact]
    public void Incidence_by_mode_agrees_with_the_reference()
    {
        var reference = ReferenceCase.Load("device_g_modes");
        var expected = reference.Incidences!;
        var builder = new LifeSampleBuilder();
        foreach (var row in reference.Observations)
        {
            if (row.Kind == "failure")
                builder.AddFailed(row.Time, row.Entry, row.Count, failureMode: row.Mode);
            else
                builder.AddSurvived(row.Time, row.Entry, row.Count);
        }

        var incidences = Asked.Catalog.Nonparametric.Incidence(
            builder.Build(), 0.95, TestContext.Current.CancellationToken).Value;

        Assert.Equal(2, incidences.Count);
        var differences = new Differences();
        foreach (var incidence in incidences)
        {
            var values = expected.Of(incidence.FailureMode!);
            for (var k = 0; k < expected.Hours.Count; k++)
            {
                var point = incidence.Points.LastOrDefault(p => p.Hours <= expected.Hours[k]);
                differences.Relative($"{incidence.FailureMode}, {expected.Hours[k]}", values.Incidence[k], point?.Incidence.Value ?? 0, Tolerance.Nonparametric);
                if (point is null || point.Hours != expected.Hours[k])
                    continue;
                differences.Relative(
                    $"{incidence.FailureMode}, {point.Hours}, standard error", values.StandardError[k], point.Incidence.StandardError,
                    Tolerance.Nonparametric);
                Assert.True(point.Incidence.Lower < point.Incidence.Value && point.Incidence.Value < point.Incidence.Upper);
            }
        }

        Assert.True(differences.Compared > 40);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    public static TheoryData<string> RecurrentCases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).MeanCumulative is not null)];

    /// <summary>Mean cumulative functions with their robust variance, computed by hand in R and held against survfit.</summary>
    [Theory]
    [MemberData(nameof(RecurrentCases))]
    public void Mean_replacements_agree_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var expected = reference.MeanCumulative!;
        var positions = reference.Positions.Select(p => new PositionHistory(0, p.End, p.Replacements)).ToList();

        var points = Asked.Catalog.Nonparametric.MeanReplacements(positions, 0.95, TestContext.Current.CancellationToken).Value.Points;

        Assert.Equal(expected.Hours, points.Select(p => p.Hours));
        Assert.Equal(expected.AtRisk, points.Select(p => p.AtRisk));
        Assert.Equal(expected.Replacements, points.Select(p => p.Replacements));
        var differences = new Differences();
        for (var k = 0; k < points.Count; k++)
        {
            var label = $"{name}, {points[k].Hours}";
            differences.Relative(label, expected.Mean[k], points[k].MeanReplacements.Value, Tolerance.Nonparametric);
            differences.Relative(
                $"{label}, standard error", expected.Variance[k] > 0 ? Math.Sqrt(expected.Variance[k]) : null,
                points[k].MeanReplacements.StandardError, Tolerance.Nonparametric);
        }

        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }

    public static TheoryData<string> RestrictedMeanCases() =>
        [.. ReferenceCase.Names.Where(n => ReferenceCase.Load(n).TwoSample?.RestrictedMeans.Count > 0)];

    [Theory]
    [MemberData(nameof(RestrictedMeanCases))]
    public void Restricted_means_agree_with_the_reference(string name)
    {
        var reference = ReferenceCase.Load(name);
        var differences = new Differences();
        foreach (var (group, limit, mean, variance) in reference.TwoSample!.RestrictedMeans)
        {
            var curve = Asked.Catalog.Nonparametric.Estimate(Asked.Sample(reference.Group(group)), 0.95, TestContext.Current.CancellationToken).Value;
            var found = Asked.Catalog.Nonparametric.RestrictedMean(curve, limit);
            differences.Relative($"{name}, {group}", mean, found.Value, Tolerance.Nonparametric);
            differences.Relative($"{name}, {group}, standard error", Math.Sqrt(variance), found.StandardError, Tolerance.Nonparametric);
        }

        Assert.True(differences.Compared >= 4);
        Assert.True(differences.Misses.Count == 0, differences.ToString());
    }
}
