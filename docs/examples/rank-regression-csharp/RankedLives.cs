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
    public static RankedLives? Of(List<(double Hours, bool Failed)> lives)
    {
        // At one age failures come before survivors, which were alive then.
        lives = [.. lives.OrderBy(life => life.Hours).ThenByDescending(life => life.Failed)];
        List<(double X, double Y)> points = [];
        double rank = 0;
        for (var i = 0; i < lives.Count; i++)
        {
            if (!lives[i].Failed)
                continue;
            rank += (lives.Count + 1 - rank) / (1 + lives.Count - i);
            points.Add((Math.Log(-Math.Log(1 - (rank - 0.3) / (lives.Count + 0.4))), Math.Log(lives[i].Hours)));
        }

        if (points.Select(point => point.Y).Distinct().Count() < 2)
            return null;
        var (x, y) = (points.Average(point => point.X), points.Average(point => point.Y));
        var slope = points.Sum(point => (point.X - x) * (point.Y - y)) / points.Sum(point => (point.X - x) * (point.X - x));
        return new RankedLives(1 / slope, Math.Exp(y - slope * x));
    }

    public double Reliability(double hours) => Math.Exp(-Math.Pow(hours / Scale, Shape));

    public double Percentile(double fraction) => Scale * Math.Pow(-Math.Log(1 - fraction), 1 / Shape);

    /// <summary>Further hours by which a fraction of those alive at an age will have failed.</summary>
    public double Remaining(double age, double fraction) =>
        Scale * Math.Pow(Math.Pow(age / Scale, Shape) - Math.Log(1 - fraction), 1 / Shape) - age;
}
