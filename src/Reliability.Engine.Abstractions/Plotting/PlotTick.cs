namespace Reliability.Engine.Abstractions;

/// <summary>A mark on an axis.</summary>
/// <param name="Position">Axis position.</param>
/// <param name="Value">Value marked, hours or failed fraction.</param>
public readonly record struct PlotTick(double Position, double Value);
