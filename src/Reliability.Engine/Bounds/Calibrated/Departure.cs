namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>How far a constrained fit lies from the fit, as r* sees it.</summary>
/// <param name="LogU">S^-1 Q by log u; about the fit minus the constrained fit.</param>
/// <param name="V">Likewise by v.</param>
/// <param name="Ratio">|S| / |i|.</param>
internal readonly record struct Departure(double LogU, double V, double Ratio)
{
    /// <summary>The way along a gradient, times the ratio.</summary>
    public double Along((double LogU, double V) gradient) => (gradient.LogU * LogU + gradient.V * V) * Ratio;
}
