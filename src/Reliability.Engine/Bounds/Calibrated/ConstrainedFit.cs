namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>The highest likelihood among the parameters that give a quantity one value.</summary>
/// <param name="U">u there.</param>
/// <param name="V">v there.</param>
/// <param name="Value">The log-likelihood there.</param>
/// <param name="Information">
/// Minus the second derivative of the log-likelihood along the constraint: by log u, or by v where the quantity holds u.
/// </param>
/// <param name="SlopeV">dv/d log u along the constraint; not a number where the quantity holds u.</param>
/// <param name="GradientV">The derivative of the log-likelihood by v there.</param>
internal readonly record struct ConstrainedFit(double U, double V, double Value, double Information, double SlopeV, double GradientV)
{
    /// <summary>Whether v, not log u, is what is free.</summary>
    public bool HoldsU => double.IsNaN(SlopeV);
}
