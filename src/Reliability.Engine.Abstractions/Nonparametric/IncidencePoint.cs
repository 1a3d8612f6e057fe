namespace Reliability.Engine.Abstractions;

/// <summary>Cumulative incidence just after an age of failure.</summary>
/// <param name="Hours">Age of failure in hours.</param>
/// <param name="Failures">Lives failed by the mode at this age.</param>
/// <param name="Incidence">Share of lives failed by the mode up to here, with standard error and log(-log) bounds.</param>
public sealed record IncidencePoint(double Hours, double Failures, BoundedEstimate Incidence);
