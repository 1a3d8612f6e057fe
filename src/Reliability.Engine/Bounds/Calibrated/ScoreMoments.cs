namespace Reliability.Engine.Bounds.Calibrated;

/// <summary>
/// Expected products of scores and likelihoods at a fit and at a constrained fit, by (log u, v): S, Q and i of Skovgaard (1996).
/// </summary>
internal record struct ScoreMoments
{
    public double S11, S12, S21, S22, Q1, Q2, I11, I12, I22;

    /// <summary>S^-1 Q and |S| / |i|.</summary>
    public readonly Departure Departure
    {
        get
        {
            var determinant = S11 * S22 - S12 * S21;
            return new(
                (S22 * Q1 - S12 * Q2) / determinant, (S11 * Q2 - S21 * Q1) / determinant, determinant / (I11 * I22 - I12 * I12));
        }
    }

    /// <summary>The same where v alone is free.</summary>
    public readonly Departure DepartureOfV => new(0, Q2 / S22, S22 / I22);
}
