namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>The signed root of the likelihood ratio at a value of a quantity, and what r* adds to it there.</summary>
/// <param name="Root">r: positive below the estimate, negative above.</param>
/// <param name="Departure">u, which is about r and of the same sign where r* exists.</param>
internal readonly record struct RootAt(double Root, double Departure)
{
    /// <summary>log(u / r) / r; null where there is none.</summary>
    public double? Adjustment
    {
        get
        {
            var ratio = Departure / Root;
            return ratio > 0 && double.IsFinite(ratio) ? Math.Log(ratio) / Root : null;
        }
    }
}
