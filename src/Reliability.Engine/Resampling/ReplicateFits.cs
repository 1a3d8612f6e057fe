namespace Reliability.Engine.Resampling;

/// <summary>
/// The maxima of simulated samples, on the log axis of the sample that they imitate. Where there was none u is NaN, and v says how it is
/// missing (<see cref="RunawayEstimate"/>).
/// </summary>
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
        {
            SetMissing(index, double.NaN);
            return;
        }

        (U[index], V[index], CovarianceUU[index], CovarianceUV[index], CovarianceVV[index]) = (u, v, uu, uv, vv);
    }

    /// <summary>Notes that a sample has no maximum, and how it is missing.</summary>
    public void SetMissing(int index, double missing) =>
        (U[index], V[index], CovarianceUU[index], CovarianceUV[index], CovarianceVV[index]) =
            (double.NaN, missing, double.NaN, double.NaN, double.NaN);
}
