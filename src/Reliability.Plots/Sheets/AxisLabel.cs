namespace Reliability.Plots.Sheets;

/// <summary>A labelled place on an axis.</summary>
/// <param name="Position">Where it lies.</param>
/// <param name="Text">What is written there.</param>
internal readonly record struct AxisLabel(double Position, string Text);
