namespace Reliability.Engine.Abstractions;

/// <summary>Estimates and tests without a life model. Stateless; may be used from many threads.</summary>
public interface INonparametricEstimator
{
    /// <summary>Kaplan-Meier estimate of reliability and Nelson-Aalen estimate of the cumulative hazard, late entry by risk sets.</summary>
    /// <param name="sample">Failed and survived lives; failures between two ages are not estimable (<c>INTERVAL_OUTCOMES</c>).</param>
    /// <param name="confidenceLevel">Level of the pointwise two-sided bounds, above 0 and below 1.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The estimate, or why these data allow none.</returns>
    /// <exception cref="UnsupportedRequestException">The level is out of range.</exception>
    Estimable<SurvivalEstimate> Estimate(
        LifeSample sample, double confidenceLevel = 0.95, CancellationToken cancellationToken = default);

    /// <summary>Log-rank test of two or more cohorts (Mantel 1966; Kalbfleisch and Prentice 2002, 1.5), late entry by risk sets.</summary>
    /// <param name="cohorts">Two or more samples of failed and survived lives.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The test, with its reason inside where it cannot be made.</returns>
    /// <exception cref="UnsupportedRequestException">Fewer than two cohorts.</exception>
    CohortTest LogRank(IReadOnlyList<LifeSample> cohorts, CancellationToken cancellationToken = default);
}
