namespace Reliability.Engine.Families;

/// <summary>
/// The maximum of a likelihood over the unbounded scales of its parameters, with the coordinates a in which it falls about
/// as |a|^2 / 2: point = Point + Root a, where Root Root' is the inverse of the observed information.
/// </summary>
/// <param name="Point">Estimated parameters on their unbounded scales.</param>
/// <param name="Value">Log-likelihood.</param>
/// <param name="Root">Columns in which the likelihood bends by 1.</param>
/// <param name="ScaledGradient">Length of the last Newton step in standard errors.</param>
internal sealed record FamilyMaximum(double[] Point, double Value, double[,] Root, double ScaledGradient)
{
    /// <summary>The point at coordinates a.</summary>
    public double[] PointAt(ReadOnlySpan<double> a) => FreeParameters.Moved(Point, Root, a);

    /// <summary>Covariance of two of the estimated parameters on their unbounded scales.</summary>
    public double Covariance(int i, int j)
    {
        double sum = 0;
        for (var k = 0; k < Point.Length; k++)
            sum += Root[i, k] * Root[j, k];
        return sum;
    }
}
