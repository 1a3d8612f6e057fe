namespace Reliability.Engine.Abstractions;

/// <summary>The mean cumulative function just after an age of positions at which there were replacements.</summary>
/// <param name="Hours">Run-hours of the position.</param>
/// <param name="AtRisk">Positions watched just before: start &lt; hours &lt;= end.</param>
/// <param name="Replacements">Replacements at it.</param>
/// <param name="MeanReplacements">Mean number of replacements of a position up to here, with robust standard error and bounds.</param>
public sealed record ReplacementPoint(double Hours, double AtRisk, double Replacements, BoundedEstimate MeanReplacements);
