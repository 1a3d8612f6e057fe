namespace Reliability.Analysis;

/// <summary>
/// How well a life model fits: information criteria, smaller is better, comparable across models on the same lives.
/// Where lives are censored the number of failures stands for the sample size.
/// </summary>
/// <param name="Aic">Akaike's criterion, 2k - 2 log-likelihood (Akaike 1974).</param>
/// <param name="Aicc">The same corrected for small samples (Hurvich and Tsai 1989); null with k + 1 failures or fewer.</param>
/// <param name="Bic">The Bayesian criterion (Schwarz 1978) with failures as the sample size (Volinsky and Raftery 2000).</param>
public sealed record GoodnessOfFit(double Aic, double? Aicc, double? Bic)
{
    /// <summary>Computes the criteria from the log-likelihood, the number of estimated parameters k and of failures.</summary>
    internal static GoodnessOfFit Of(double logLikelihood, int estimatedParameters, double failures)
    {
        double k = estimatedParameters;
        var aic = (2 * k) - (2 * logLikelihood);
        return new(
            aic,
            failures > k + 1 ? aic + (2 * k * (k + 1) / (failures - k - 1)) : null,
            failures >= 1 ? (k * Math.Log(failures)) - (2 * logLikelihood) : null);
    }
}
