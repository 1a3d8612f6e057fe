using System.Collections.Frozen;
using Reliability.Engine.Abstractions;

namespace BirnbaumSaunders;

/// <summary>
/// An estimator: the line through the points of a probability plot (Chang and Tang, Microelectronics and Reliability 34 (1994) 17-22, from
/// memory). With z the normal quantile of the failed fraction, z sqrt(t) = t / (alpha sqrt(beta)) - sqrt(beta) / alpha is a straight line
/// in t. Fractions are half-way up the steps of the Kaplan-Meier estimate; the covariance is that of the jackknife over twenty groups of lives.
/// </summary>
public sealed class GraphicalBirnbaumSaunders : ILifeModel
{
    private const int MostGroups = 20;

    public LifeModelDescription Description { get; } = new(
        "birnbaum-saunders-graphical",
        "Birnbaum-Saunders, from the plot",
        new BirnbaumSaundersFamily().Parameters,
        new LifeModelCapabilities
        {
            ScaleEquivariant = true,
            BoundsMethods = FrozenSet.Create(BoundsMethod.NormalApproximation),
        },
        new FatiguePaper(),
        "1.0.0",
        "Chang and Tang 1994");

    public ILifeFamily Family { get; } = new BirnbaumSaundersFamily();

    public Estimable<IFittedLife> Fit(LifeSample sample, FitOptions options, CancellationToken cancellationToken = default)
    {
        Description.Check(options);
        cancellationToken.ThrowIfCancellationRequested();
        if (sample.HasIntervals)
            return new NotEstimable(NotEstimableReasons.IntervalOutcomes, "A point of the plot needs the age of its failure; some are known only between two.");
        if (sample.HasLateEntry)
            return new NotEstimable(NotEstimableReasons.LateEntry, "The points of the plot are those of lives that were watched from 0 h on.");
        int[] rows = [.. Enumerable.Range(0, sample.RowCount)];
        var (hours, survived) = (sample.LowerHours.ToArray(), sample.Outcomes.ToArray().Select(o => o == LifeOutcome.Survived ? 1 : 0).ToArray());
        Array.Sort(rows, (a, b) => (hours[a], survived[a], a).CompareTo((hours[b], survived[b], b)));
        if (Line(sample, rows, _ => true) is not { } parameters)
            return new NotEstimable("NO_RISING_LINE", "The points of the plot are fewer than two, or no line through them is one of this model.");
        return Estimable<IFittedLife>.Of(DeltaMethod.Fitted(
            Description, Family, new FamilyEstimate(parameters) { Covariance = Jackknife(sample, rows, cancellationToken) }, sample, options));
    }

    /// <summary>alpha and beta of the line through the points of some of the lives, given in order of age; null when there is none.</summary>
    private static double[]? Line(LifeSample sample, int[] rows, Func<int, bool> isIn)
    {
        var atRisk = rows.Where((_, place) => isIn(place)).Sum(row => sample.Counts[row]);
        double survival = 1, weight = 0, x = 0, y = 0, xx = 0, xy = 0;
        for (var i = 0; i < rows.Length;)
        {
            var hours = sample.LowerHours[rows[i]];
            double failed = 0, left = 0;
            for (; i < rows.Length && sample.LowerHours[rows[i]] == hours; i++)
            {
                if (!isIn(i))
                    continue;
                left += sample.Counts[rows[i]];
                failed += sample.Outcomes[rows[i]] == LifeOutcome.Failed ? sample.Counts[rows[i]] : 0;
            }

            if (failed > 0)
            {
                var after = survival * (1 - failed / atRisk);
                var point = Normal.Quantile(1 - (survival + after) / 2) * Math.Sqrt(hours);
                survival = after;
                (weight, x, y) = (weight + failed, x + failed * hours, y + failed * point);
                (xx, xy) = (xx + failed * hours * hours, xy + failed * hours * point);
            }

            atRisk -= left;
        }

        var slope = (xy - x * y / weight) / (xx - x * x / weight);
        var intercept = (y - slope * x) / weight;
        var beta = -intercept / slope;
        var alpha = 1 / (slope * Math.Sqrt(beta));
        return alpha > 0 && beta > 0 && double.IsFinite(alpha) && double.IsFinite(beta) ? [alpha, beta] : null;
    }

    /// <summary>Each group of lives left out in turn; empty when a line is missing. Lives are put into groups by seeded chance: groups that are
    /// alike in age would make the spread between them too small.</summary>
    private static double[] Jackknife(LifeSample sample, int[] rows, CancellationToken cancellationToken)
    {
        var groups = Math.Min(MostGroups, rows.Length);
        int[] groupOf = [.. Enumerable.Range(0, rows.Length)];
        new Random(1).Shuffle(groupOf);
        var lines = new List<double[]>();
        for (var k = 0; k < groups; k++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            var group = k;
            if (Line(sample, rows, place => groupOf[place] % groups != group) is not { } line)
                return [];
            lines.Add(line);
        }

        var (alpha, beta) = (lines.Average(l => l[0]), lines.Average(l => l[1]));
        double Sum(Func<double[], double> product) => lines.Sum(product) * (groups - 1) / groups;
        var between = Sum(l => (l[0] - alpha) * (l[1] - beta));
        return [Sum(l => (l[0] - alpha) * (l[0] - alpha)), between, between, Sum(l => (l[1] - beta) * (l[1] - beta))];
    }
}
