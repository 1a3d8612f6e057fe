namespace Reliability.Engine.Nonparametric;

/// <summary>Where the failures of a sample fall.</summary>
/// <param name="Masses">Share of failures in each innermost interval; 0 where there is none.</param>
/// <param name="Violation">How far the conditions of a maximum are missed, relative to the slope of 1 that they ask for.</param>
/// <param name="LogLikelihood">Mean log-likelihood of a life.</param>
internal sealed record TurnbullMasses(double[] Masses, double Violation, double LogLikelihood);
