using Reliability.Benchmarks.Harness;
using Reliability.Engine;
using Reliability.Engine.Abstractions;

namespace Reliability.Benchmarks.Kernels;

/// <summary>Survival of lives known between inspections: against survfit's Turnbull estimate, and how near a large one is to a maximum.</summary>
internal static class TurnbullRows
{
    private const double LargestViolation = 1e-9;

    public static void Report(Action<Figure> report, bool there, CancellationToken cancellationToken)
    {
        var estimator = BuiltInLifeModels.CreateCatalog().Nonparametric;
        var few = SimulatedSamples.Inspected(500, 20261131);
        var ours = Stopclock.LeastMilliseconds(() => estimator.Estimate(few, 0.95, cancellationToken), 11);
        var other = double.NaN;
        if (there)
        {
            using var file = new RowFile(few);
            other = RSession.Times(file.Turnbull())["survfit"];
        }

        report(Against.R("Turnbull, 500 intervals", "survfit", other, ours, 50));

        var many = SimulatedSamples.Inspected(10_000, 20261132);
        SurvivalEstimate? curve = null;
        var seconds = Stopclock.LeastMilliseconds(() => curve = estimator.Estimate(many, 0.95, cancellationToken).Value, 1) / 1000;
        report(new Figure("Turnbull, 10,000 intervals", seconds, "s", Target.Most(60)));
        report(new Figure("the same: conditions of a maximum missed by", Violation(many, curve!) / LargestViolation, "1e-9", Target.Most(1)));
    }

    /// <summary>
    /// How far a curve is from the conditions of a maximum (Gentleman and Geyer 1994), from its points alone: with P the mass in a life's
    /// interval, the mean of 1/P over the lives whose interval holds a point is 1 where the curve falls and nowhere more.
    /// </summary>
    private static double Violation(LifeSample sample, SurvivalEstimate curve)
    {
        var falls = curve.Points.Select((point, i) => (
            From: point.LowerHours ?? point.Hours, To: point.Hours,
            Mass: (i == 0 ? 1 : curve.Points[i - 1].Reliability.Value!.Value) - point.Reliability.Value!.Value)).ToList();
        if (curve.Points[^1].Reliability.Value > 0)
            falls.Add((sample.OldestHours, double.PositiveInfinity, curve.Points[^1].Reliability.Value!.Value));

        // At each age at which intervals begin or end: by how much the sum over the intervals around what lies behind it changes.
        var changes = new SortedDictionary<double, double>();
        for (var i = 0; i < sample.RowCount; i++)
        {
            var lower = sample.LowerHours[i];
            var upper = sample.Outcomes[i] == LifeOutcome.Survived ? double.PositiveInfinity : sample.UpperHours[i];
            var pull = 1 / (sample.RowCount * falls.Where(fall => fall.From >= lower && fall.To <= upper).Sum(fall => fall.Mass));
            changes[lower] = changes.GetValueOrDefault(lower) + pull;
            if (double.IsFinite(upper))
                changes[upper] = changes.GetValueOrDefault(upper) - pull;
        }

        double sum = 0, worst = 0;
        var at = 0;
        foreach (var (age, change) in changes)
        {
            sum += change;
            while (at < falls.Count && falls[at].From < age)
                at++;
            var falling = at < falls.Count && falls[at].From == age;
            worst = Math.Max(worst, falling ? Math.Abs(sum - 1) : sum - 1);
        }

        return worst;
    }
}
