namespace Reliability.Engine.Resampling;

/// <summary>The maxima of simulated samples, on the log axis of the sample that they imitate. NaN where there was none.</summary>
/// <param name="count">How many samples.</param>
internal sealed class ReplicateFits(int count)
{
    public int Count { get; } = count;

    public double[] U { get; } = new double[count];

    public double[] V { get; } = new double[count];

    public double[] CovarianceUU { get; } = new double[count];

    public double[] CovarianceUV { get; } = new double[count];

    public double[] CovarianceVV { get; } = new double[count];

    /// <summary>How many samples had no maximum.</summary>
    public int WithoutMaximum => U.Count(double.IsNaN);

    public void Set(int index, double u, double v, double uu, double uv, double vv)
    {
        if (!(double.IsFinite(u) && double.IsFinite(v) && double.IsFinite(uu) && double.IsFinite(vv)))
            (u, v, uu, uv, vv) = (double.NaN, double.NaN, double.NaN, double.NaN, double.NaN);
        (U[index], V[index], CovarianceUU[index], CovarianceUV[index], CovarianceVV[index]) = (u, v, uu, uv, vv);
    }
}
