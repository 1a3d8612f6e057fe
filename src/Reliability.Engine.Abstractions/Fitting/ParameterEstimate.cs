namespace Reliability.Engine.Abstractions;

/// <summary>A parameter of a fitted life.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Estimate">Estimate, bounds and standard error on the natural scale.</param>
/// <param name="IsFixed">True when it was held at a value, which <paramref name="Estimate"/> then gives without bounds.</param>
public sealed record ParameterEstimate(string Name, BoundedEstimate Estimate, bool IsFixed);
