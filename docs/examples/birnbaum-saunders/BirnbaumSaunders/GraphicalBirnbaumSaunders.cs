using System.Collections.Frozen;
using Reliability.Engine.Abstractions;

namespace BirnbaumSaunders;

/// <summary>
/// An estimator: the line through the points of a probability plot (Chang and Tang, Microelectronics and Reliability 34 (1994) 17-22, from
/// memory). With z the normal quantile of the failed fraction, z sqrt(t) = t / (alpha sqrt(beta)) - sqrt(beta) / alpha is a straight line
/// in t. Fractions are half-way up the steps of the Kaplan-Meier estimate; the covariance is that of the jackknife over lives (Efron
/// 1982, chapter 3), each left out in turn.
/// </summary>
public sealed class GraphicalBirnbaumSaunders : ILifeModel
{
    // The jackknife draws as many lines as there are points, each through all of them.
    private const int MostPoints = 5000;

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
        var points = Points(sample);
        if (points.Length > MostPoints)
            return new NotEstimable("TOO_MANY_AGES", $"The jackknife takes lives of at most {MostPoints} different ages.");
        if (Line(points, points.Length) is not { } parameters)
            return new NotEstimable("NO_RISING_LINE", "The points of the plot are fewer than two, or no line through them is one of this model.");
        return Estimable<IFittedLife>.Of(DeltaMethod.Fitted(
            Description, Family, new FamilyEstimate(parameters) { Covariance = Jackknife(points, cancellationToken) }, sample, options));
    }

    /// <summary>The lives by age, failures before survivors, whether they stood in one row or in several.</summary>
    private static Point[] Points(LifeSample sample)
    {
        var counts = new Dictionary<(double Hours, bool Survived), double>();
        for (var row = 0; row < sample.RowCount; row++)
        {
            var key = (sample.LowerHours[row], sample.Outcomes[row] == LifeOutcome.Survived);
            counts[key] = counts.GetValueOrDefault(key) + sample.Counts[row];
        }

        return [.. counts.Select(c => new Point(c.Key.Hours, c.Key.Survived, c.Value)).OrderBy(p => p.Hours).ThenBy(p => p.Survived)];
    }

    /// <summary>alpha and beta of the line through the points, without one life of the point that is left out; null when there is none.</summary>
    private static double[]? Line(Point[] points, int without)
    {
        double Count(int i) => i == without ? points[i].Count - points[i].One : points[i].Count;
        double atRisk = 0, survival = 1, weight = 0, x = 0, y = 0, xx = 0, xy = 0;
        for (var i = 0; i < points.Length; i++)
            atRisk += Count(i);
        for (var i = 0; i < points.Length; i++)
        {
            var (hours, count) = (points[i].Hours, Count(i));
            if (!points[i].Survived && count > 0)
            {
                var after = survival * (1 - count / atRisk);
                var height = Normal.Quantile(1 - (survival + after) / 2) * Math.Sqrt(hours);
                survival = after;
                (weight, x, y) = (weight + count, x + count * hours, y + count * height);
                (xx, xy) = (xx + count * hours * hours, xy + count * hours * height);
            }

            atRisk -= count;
        }

        var slope = (xy - x * y / weight) / (xx - x * x / weight);
        var intercept = (y - slope * x) / weight;
        var beta = -intercept / slope;
        var alpha = 1 / (slope * Math.Sqrt(beta));
        return alpha > 0 && beta > 0 && double.IsFinite(alpha) && double.IsFinite(beta) ? [alpha, beta] : null;
    }

    /// <summary>Each life left out in turn, those of one point at once, for they make the same line; empty when a line is missing.</summary>
    private static double[] Jackknife(Point[] points, CancellationToken cancellationToken)
    {
        var lines = new List<(double Lives, double Alpha, double Beta)>();
        for (var i = 0; i < points.Length; i++)
        {
            cancellationToken.ThrowIfCancellationRequested();
            if (Line(points, i) is not [var without, var scale])
                return [];
            lines.Add((points[i].Count / points[i].One, without, scale));
        }

        var lives = lines.Sum(l => l.Lives);
        double Sum(Func<(double Lives, double Alpha, double Beta), double> term) => lines.Sum(l => l.Lives * term(l));
        var (alpha, beta) = (Sum(l => l.Alpha) / lives, Sum(l => l.Beta) / lives);
        double Moment(Func<(double Lives, double Alpha, double Beta), double> product) => Sum(product) * (lives - 1) / lives;
        var between = Moment(l => (l.Alpha - alpha) * (l.Beta - beta));
        return [Moment(l => (l.Alpha - alpha) * (l.Alpha - alpha)), between, between, Moment(l => (l.Beta - beta) * (l.Beta - beta))];
    }

    /// <summary>Lives of one age and outcome.</summary>
    private sealed record Point(double Hours, bool Survived, double Count)
    {
        /// <summary>One life; all there is where a count is less.</summary>
        public double One => Math.Min(1, Count);
    }
}
