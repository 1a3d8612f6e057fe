namespace Reliability.TestPlugIns.Numbers;

/// <summary>A line through points. In an assembly of its own: a dependency that the service does not have.</summary>
public static class Line
{
    /// <summary>The line of least squares of y on x.</summary>
    public static (double Slope, double Intercept) Through(IReadOnlyList<double> x, IReadOnlyList<double> y)
    {
        var (middleX, middleY) = (x.Average(), y.Average());
        double covariance = 0, variance = 0;
        for (var i = 0; i < x.Count; i++)
        {
            covariance += (x[i] - middleX) * (y[i] - middleY);
            variance += (x[i] - middleX) * (x[i] - middleX);
        }

        var slope = covariance / variance;
        return (slope, middleY - slope * middleX);
    }
}
