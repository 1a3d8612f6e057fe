namespace Reliability.History.Catalogue;

/// <summary>The output below which a module counts as failed. Exactly one of fraction and value is given.</summary>
public sealed record OutputThreshold
{
    /// <summary>As a fraction of the output when new.</summary>
    public double? Fraction { get; init; }

    /// <summary>In the unit of the module model.</summary>
    public double? Value { get; init; }

    /// <summary>Whether a measured output is below the threshold.</summary>
    /// <param name="fraction">Output as a fraction of when new; null when measured in the unit.</param>
    /// <param name="value">Output in the unit; null when measured as a fraction.</param>
    /// <returns>Null when threshold and output are not given in the same terms.</returns>
    public bool? IsBelow(double? fraction, double? value) =>
        (Fraction, fraction) is ({ } least, { } measured) ? measured < least
        : (Value, value) is ({ } leastValue, { } measuredValue) ? measuredValue < leastValue
        : null;
}
