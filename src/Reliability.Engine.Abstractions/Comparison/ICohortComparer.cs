namespace Reliability.Engine.Abstractions;

/// <summary>A life model that compares cohorts; see <see cref="LifeModelCapabilities.ComparesCohorts"/>.</summary>
public interface ICohortComparer
{
    /// <summary>Fits each cohort alone, all with one shape, and all as one; tests and effects follow from these fits.</summary>
    /// <param name="cohorts">Two or more samples; the first is the one the others are compared with.</param>
    /// <param name="options">Bounds and so on; nothing may be fixed.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <returns>The comparison; a cohort that cannot be fitted leaves its reason in it and does not fail the call.</returns>
    /// <exception cref="UnsupportedRequestException">An option is out of range or not available for this model.</exception>
    CohortComparison Compare(
        IReadOnlyList<LifeSample> cohorts, FitOptions options, CancellationToken cancellationToken = default);
}
