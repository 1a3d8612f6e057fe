namespace Reliability.Engine.Abstractions;

/// <summary>The survival estimate just after an age of failure.</summary>
/// <param name="Hours">Age of failure in hours.</param>
/// <param name="AtRisk">Lives at risk just before: entry &lt; hours &lt;= end.</param>
/// <param name="Failures">Lives failed at this age.</param>
/// <param name="Reliability">Kaplan-Meier estimate with Greenwood standard error and log(-log) bounds.</param>
/// <param name="CumulativeHazard">Nelson-Aalen estimate with its standard error and bounds on the log scale.</param>
/// <param name="PlottingFraction">Failed fraction at which to plot the point on a probability plot: half-way up the step
/// (Meeker and Escobar 1998, 6.4).</param>
public sealed record SurvivalPoint(
    double Hours,
    double AtRisk,
    double Failures,
    BoundedEstimate Reliability,
    BoundedEstimate CumulativeHazard,
    double PlottingFraction);
