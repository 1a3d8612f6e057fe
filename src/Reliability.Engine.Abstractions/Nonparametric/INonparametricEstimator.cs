namespace Reliability.Engine.Abstractions;

/// <summary>Estimates and tests without a life model. Stateless; may be used from many threads.</summary>
public interface INonparametricEstimator
{
    /// <summary>
    /// Survival. Failed and survived lives give the Kaplan-Meier and Nelson-Aalen estimates, late entry by risk sets; with
    /// failures between two ages Turnbull's estimate (Turnbull 1976; with late entry Frydman 1994), without bounds.
    /// </summary>
    /// <param name="sample">Lives.</param>
    /// <param name="confidenceLevel">Level of the pointwise two-sided bounds, above 0 and below 1.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The estimate, or why these data allow none.</returns>
    /// <exception cref="UnsupportedRequestException">The level is out of range.</exception>
    Estimable<SurvivalEstimate> Estimate(
        LifeSample sample, double confidenceLevel = 0.95, CancellationToken cancellationToken = default);

    /// <summary>
    /// Cumulative incidence by failure mode (Aalen and Johansen 1978): the modes compete, and at every age the incidences and
    /// the Kaplan-Meier estimate of reliability add up to 1. Failures of unknown mode are a mode of their own.
    /// </summary>
    /// <param name="sample">Failed and survived lives; failures between two ages are not estimable (<c>INTERVAL_OUTCOMES</c>).</param>
    /// <param name="confidenceLevel">Level of the pointwise two-sided bounds, above 0 and below 1.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The modes in the order of the sample, unknown last; modes without failures are left out.</returns>
    /// <exception cref="UnsupportedRequestException">The level is out of range.</exception>
    Estimable<IReadOnlyList<ModeIncidence>> Incidence(
        LifeSample sample, double confidenceLevel = 0.95, CancellationToken cancellationToken = default);

    /// <summary>
    /// Mean life when every life is counted up to an age limit only: the area below the curve (Klein and Moeschberger 2003, 4.5).
    /// </summary>
    /// <param name="curve">An answer of <see cref="Estimate"/>.</param>
    /// <param name="limitHours">The age limit in hours, above 0 and finite.</param>
    /// <returns>
    /// Hours, with standard error and normal bounds at the level of the curve; without a value, and a note, where the data do not reach
    /// the limit or some failures are known only between two ages.
    /// </returns>
    /// <exception cref="UnsupportedRequestException">The limit is out of range.</exception>
    BoundedEstimate RestrictedMean(SurvivalEstimate curve, double limitHours);

    /// <summary>
    /// Mean cumulative function (Nelson 2003): how many replacements a position had on average by each of its ages, whatever the
    /// process behind them. Robust standard errors (Lawless and Nadeau 1995), bounds on the log scale.
    /// </summary>
    /// <param name="positions">What was seen at each position. When a position was watched must not depend on its replacements.</param>
    /// <param name="confidenceLevel">Level of the pointwise two-sided bounds, above 0 and below 1.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The estimate, or why there is none (no positions).</returns>
    /// <exception cref="UnsupportedRequestException">The level is out of range.</exception>
    Estimable<ReplacementEstimate> MeanReplacements(
        IReadOnlyList<PositionHistory> positions, double confidenceLevel = 0.95, CancellationToken cancellationToken = default);

    /// <summary>Log-rank test of two or more cohorts (Mantel 1966; Kalbfleisch and Prentice 2002, 1.5), late entry by risk sets.</summary>
    /// <param name="cohorts">Two or more samples of failed and survived lives.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The test, with its reason inside where it cannot be made.</returns>
    /// <exception cref="UnsupportedRequestException">Fewer than two cohorts.</exception>
    CohortTest LogRank(IReadOnlyList<LifeSample> cohorts, CancellationToken cancellationToken = default);
}
