using CsCheck;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.Fitting;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Nonparametric;

public sealed class MeanCumulativeFunctionTests
{
    private static readonly Gen<List<PositionHistory>> Histories =
        Gen.Select(Gen.Int[0, 6], Gen.Int[1, 12], Gen.Int[1, 20].List[0, 6]).List[1, 30].Select(rows => rows
            .Select(row => new PositionHistory(row.Item1, row.Item1 + row.Item2, row.Item3.Select(h => (double)h).Where(h => h > row.Item1 && h <= row.Item1 + row.Item2)))
            .ToList());

    /// <summary>The definition, position by position (Nelson 2003; Lawless and Nadeau 1995).</summary>
    [Fact]
    public void Means_and_variances_are_those_of_the_definition() => Histories.Cases(300, positions =>
    {
        var points = Estimate(positions).Points;
        var mean = 0.0;
        var parts = new double[positions.Count];
        foreach (var point in points)
        {
            var watched = Enumerable.Range(0, positions.Count)
                .Where(i => positions[i].StartHours < point.Hours && point.Hours <= positions[i].EndHours).ToList();
            double Own(int i) => positions[i].ReplacementHours.ToArray().Count(h => h == point.Hours);
            var share = watched.Sum(Own) / watched.Count;
            mean += share;
            foreach (var i in watched)
                parts[i] += (Own(i) - share) / watched.Count;
            Assert.Equal(watched.Count, point.AtRisk);
            Assert.Equal(mean, point.MeanReplacements.Value!.Value, 1e-12 * mean);
            var variance = parts.Sum(c => c * c);
            Assert.Equal(Math.Sqrt(variance), point.MeanReplacements.StandardError ?? 0, 1e-7 * mean);
            Assert.Equal(point.MeanReplacements.StandardError is null, point.MeanReplacements.Lower is null);
        }

        Assert.Equal(positions.Sum(p => p.ReplacementHours.Length), points.Sum(p => p.Replacements));
    });

    /// <summary>Positions that all had one replacement at most, watched from new, are lives: the Nelson-Aalen estimate.</summary>
    [Fact]
    public void One_replacement_each_at_the_end_is_the_cumulative_hazard()
    {
        var random = new Random(20261128);
        var lives = new LifeSampleBuilder();
        var positions = new List<PositionHistory>();
        for (var i = 0; i < 60; i++)
        {
            var (hours, failed) = (1.0 + random.Next(40), random.Next(2) == 0);
            positions.Add(new PositionHistory(0, hours, failed ? [hours] : []));
            _ = failed ? lives.AddFailed(hours) : lives.AddSurvived(hours);
        }

        var hazards = Asked.Catalog.Nonparametric.Estimate(lives.Build()).Value.Points;
        var points = Estimate(positions).Points;

        Assert.Equal(hazards.Select(p => p.Hours), points.Select(p => p.Hours));
        for (var k = 0; k < points.Count; k++)
            Assert.Equal(hazards[k].CumulativeHazard.Value!.Value, points[k].MeanReplacements.Value!.Value, 1e-12);
    }

    [Fact]
    public void Hours_times_a_factor_change_nothing_but_the_hours() => Histories.Cases(50, positions =>
    {
        var points = Estimate(positions).Points;
        var scaled = Estimate([.. positions.Select(p => new PositionHistory(
            p.StartHours * 1e9, p.EndHours * 1e9, [.. p.ReplacementHours.ToArray().Select(h => h * 1e9)]))]).Points;
        Assert.Equal(points.Select(p => p.MeanReplacements.Value), scaled.Select(p => p.MeanReplacements.Value));
        Assert.Equal(points.Select(p => p.MeanReplacements.Upper), scaled.Select(p => p.MeanReplacements.Upper));
    });

    [Fact]
    public void What_the_estimate_rests_on_is_said()
    {
        Assert.Equal(NotEstimableReasons.NoObservations, Asked.Catalog.Nonparametric.MeanReplacements([]).NotEstimable?.Reason);

        var none = Estimate([new PositionHistory(0, 100, [])]);
        Assert.Empty(none.Points);
        Assert.Equal(WarningCodes.NoReplacements, Assert.Single(none.Warnings).Code);

        var alone = Estimate([new PositionHistory(50, 100, [60, 60])]);
        var point = Assert.Single(alone.Points);
        Assert.Equal((60, 1, 2, 2), (point.Hours, point.AtRisk, point.Replacements, point.MeanReplacements.Value));
        Assert.Equal(WarningCodes.NoBounds, Assert.Single(point.MeanReplacements.Notes).Code);
        Assert.Contains(alone.Warnings, w => w.Code == WarningCodes.FewPositions);
        Assert.Contains(alone.Warnings, w => w.Code == WarningCodes.UnwatchedAges && w.Text.Contains("from 0 to 50 hours", StringComparison.Ordinal));
    }

    [Fact]
    public void Many_positions_are_answered_in_one_sweep()
    {
        var random = new Random(20261128);
        var positions = Enumerable.Range(0, 50_000).Select(_ => new PositionHistory(
            0, 1000 + 9000 * random.NextDouble(), [1000 * random.NextDouble(), 1000 * random.NextDouble()])).ToList();

        var last = Estimate(positions).Points[^1];

        Assert.Equal(2, last.MeanReplacements.Value!.Value, 1e-9);
        Assert.True(last.MeanReplacements.StandardError is null or < 1e-6, $"{last}");
    }

    [Theory]
    [InlineData(-1, 5, 2, "startHours")]
    [InlineData(double.NaN, 5, 2, "startHours")]
    [InlineData(0, double.PositiveInfinity, 2, "endHours")]
    [InlineData(5, 5, 5, "endHours")]
    [InlineData(1, 5, 1, "replacementHours")]
    [InlineData(1, 5, 5.5, "replacementHours")]
    [InlineData(1, 5, double.NaN, "replacementHours")]
    public void A_history_that_cannot_be_is_refused(double start, double end, double replacement, string parameter) =>
        Assert.Equal(parameter, Assert.Throws<ArgumentException>(() => new PositionHistory(start, end, [replacement])).ParamName);

    private static ReplacementEstimate Estimate(IReadOnlyList<PositionHistory> positions) =>
        Asked.Catalog.Nonparametric.MeanReplacements(positions, 0.95, TestContext.Current.CancellationToken).Value;
}
