namespace RankRegression;

/// <summary>
/// A Weibull by regression on median ranks: the logarithms of the ages at failure on log(-log(1 - F)), where F is (i - 0.3) / (n + 0.4)
/// (Benard and Bos-Levenbach 1953) and the rank i of a failure after survivors is Johnson's adjusted one (Johnson 1964: each failure
/// adds (n + 1 - rank before) / (1 + lives left)).
/// </summary>
internal sealed record RankedLives(double Shape, double Scale)
{
    /// <param name="lives">Age, and whether it failed then.</param>
    /// <returns>The estimate; null with fewer than two ages at failure.</returns>
    public static RankedLives? Of(IEnumerable<(double Hours, bool Failed)> lives) => OfSorted(Sorted(lives));

    /// <summary>Covariance of shape and scale by the jackknife over lives: (n - 1) / n times the sum of squares and products of what the
    /// estimates without each life differ from their mean (Efron 1982, chapter 3).</summary>
    /// <param name="lives">Age, and whether it failed then.</param>
    /// <param name="cancellation">Cancelled when whoever asked has left.</param>
    /// <returns>Row upon row; null where a life cannot be left out, because fewer than two ages at failure remain.</returns>
    public static double[]? Covariance(IEnumerable<(double Hours, bool Failed)> lives, CancellationToken cancellation)
    {
        var sorted = Sorted(lives);
        var without = new List<RankedLives>();
        var others = sorted[1..];
        for (var i = 0; i < sorted.Length; i++)
        {
            cancellation.ThrowIfCancellationRequested();
            if (OfSorted(others) is not { } estimate)
                return null;
            without.Add(estimate);

            // The next one out, this one in again: still sorted.
            if (i < others.Length)
                others[i] = sorted[i];
        }

        var (shape, scale) = (without.Average(w => w.Shape), without.Average(w => w.Scale));
        double Moment(Func<RankedLives, double> product) => without.Sum(product) * (sorted.Length - 1) / sorted.Length;
        var product = Moment(w => (w.Shape - shape) * (w.Scale - scale));
        return
        [
            Moment(w => (w.Shape - shape) * (w.Shape - shape)), product,
            product, Moment(w => (w.Scale - scale) * (w.Scale - scale)),
        ];
    }

    /// <summary>At one age failures come before survivors, which were alive then.</summary>
    private static (double Hours, bool Failed)[] Sorted(IEnumerable<(double Hours, bool Failed)> lives) =>
        [.. lives.OrderBy(life => life.Hours).ThenByDescending(life => life.Failed)];

    private static RankedLives? OfSorted((double Hours, bool Failed)[] lives)
    {
        List<(double X, double Y)> points = [];
        double rank = 0;
        for (var i = 0; i < lives.Length; i++)
        {
            if (!lives[i].Failed)
                continue;
            rank += (lives.Length + 1 - rank) / (1 + lives.Length - i);
            points.Add((Math.Log(-Math.Log(1 - (rank - 0.3) / (lives.Length + 0.4))), Math.Log(lives[i].Hours)));
        }

        if (points.Select(point => point.Y).Distinct().Count() < 2)
            return null;
        var (x, y) = (points.Average(point => point.X), points.Average(point => point.Y));
        var slope = points.Sum(point => (point.X - x) * (point.Y - y)) / points.Sum(point => (point.X - x) * (point.X - x));
        return new RankedLives(1 / slope, Math.Exp(y - slope * x));
    }
}
