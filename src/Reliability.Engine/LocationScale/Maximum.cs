namespace Reliability.Engine.LocationScale;

/// <summary>The maximum of a likelihood: where, how high, and the covariance of (u, v) there.</summary>
/// <param name="U">1 / sigma.</param>
/// <param name="V">Minus the location over sigma, on the sample's own log axis.</param>
/// <param name="Value">Log-likelihood.</param>
/// <param name="CovarianceUU">Variance of u; 0 when u was held.</param>
/// <param name="CovarianceUV">Covariance of u and v.</param>
/// <param name="CovarianceVV">Variance of v.</param>
/// <param name="ScaledGradient">Length of the last Newton step in standard errors.</param>
internal sealed record Maximum(
    double U, double V, double Value, double CovarianceUU, double CovarianceUV, double CovarianceVV, double ScaledGradient)
{
    /// <summary>Whether u was held at a value.</summary>
    public bool IsOneParameter => CovarianceUU == 0;
}
