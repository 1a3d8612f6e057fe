namespace Reliability.Engine.Abstractions;

/// <summary>The survival estimate just after an age at which it falls.</summary>
/// <param name="Hours">Age of failure in hours; with Turnbull the upper end of the stretch in which the curve falls.</param>
/// <param name="AtRisk">Lives at risk just before: entry &lt; hours &lt;= end; null with Turnbull, where nobody knows.</param>
/// <param name="Failures">Lives failed at this age; null with Turnbull.</param>
/// <param name="Reliability">Kaplan-Meier estimate with Greenwood standard error and log(-log) bounds; or Turnbull's, without.</param>
/// <param name="CumulativeHazard">Nelson-Aalen estimate with its standard error and bounds on the log scale; with Turnbull
/// the sum of what failed over what was left, without.</param>
/// <param name="PlottingFraction">Failed fraction at which to plot the point on a probability plot: half-way up the step
/// (Meeker and Escobar 1998, 6.4).</param>
public sealed record SurvivalPoint(
    double Hours,
    double? AtRisk,
    double? Failures,
    BoundedEstimate Reliability,
    BoundedEstimate CumulativeHazard,
    double PlottingFraction)
{
    /// <summary>
    /// Turnbull: the curve falls somewhere in (this, <see cref="Hours"/>], and the data do not say where. Null when it falls
    /// at <see cref="Hours"/>.
    /// </summary>
    public double? LowerHours { get; init; }
}
