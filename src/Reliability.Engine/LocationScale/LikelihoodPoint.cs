namespace Reliability.Engine.LocationScale;

/// <summary>The log-likelihood at one (u, v) with its gradient and Hessian, where z = u x + v, u = 1 / sigma.</summary>
internal struct LikelihoodPoint
{
    public double Value;
    public double GradientU;
    public double GradientV;
    public double HessianUU;
    public double HessianUV;
    public double HessianVV;

    public readonly bool IsFinite =>
        double.IsFinite(Value) && double.IsFinite(GradientU) && double.IsFinite(GradientV)
        && double.IsFinite(HessianUU) && double.IsFinite(HessianUV) && double.IsFinite(HessianVV);

    /// <summary>Adds a multiple of another.</summary>
    public void Add(double factor, in LikelihoodPoint other)
    {
        Value += factor * other.Value;
        GradientU += factor * other.GradientU;
        GradientV += factor * other.GradientV;
        HessianUU += factor * other.HessianUU;
        HessianUV += factor * other.HessianUV;
        HessianVV += factor * other.HessianVV;
    }

    public static LikelihoodPoint OutOfDomain => new() { Value = double.NegativeInfinity };
}
