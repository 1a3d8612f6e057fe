namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// Expected products of scores and likelihoods at a fit and at a constrained fit, by (log u, v): S, Q and i of Skovgaard (1996).
/// </summary>
internal record struct ScoreMoments
{
    public double S11, S12, S21, S22, Q1, Q2, I11, I12, I22;

    /// <summary>S^-1 Q, about the fit minus the constrained fit.</summary>
    public readonly (double LogU, double V) Difference
    {
        get
        {
            var determinant = S11 * S22 - S12 * S21;
            return ((S22 * Q1 - S12 * Q2) / determinant, (S11 * Q2 - S21 * Q1) / determinant);
        }
    }

    /// <summary>|S| / |i|.</summary>
    public readonly double Ratio => (S11 * S22 - S12 * S21) / (I11 * I22 - I12 * I12);

    /// <summary>Q / i where v alone is free: the same with one parameter.</summary>
    public readonly double DifferenceOfV => Q2 / I22;
}
