namespace Reliability.Engine.Abstractions;

/// <summary>
/// An estimate with its bounds. A number that does not exist is null, never NaN or infinite, and a note says why.
/// </summary>
public sealed record BoundedEstimate
{
    /// <summary>The estimate; null when there is none.</summary>
    public double? Value { get; init; }

    /// <summary>Lower bound; null when there is none.</summary>
    public double? Lower { get; init; }

    /// <summary>Upper bound; null when there is none.</summary>
    public double? Upper { get; init; }

    /// <summary>Standard error on the natural scale of the quantity (delta method); null when there is none.</summary>
    public double? StandardError { get; init; }

    /// <summary>Which bounds the estimate is meant to carry.</summary>
    public BoundSide Side { get; init; }

    /// <summary>Why a number is absent, or how far to believe it.</summary>
    public IReadOnlyList<EngineWarning> Notes { get; init; } = [];

    // Between a scale and back a few last digits are lost.
    private const double Rounding = 1e-9;

    /// <summary>Whether no bound lies beyond the value or the other bound, but for rounding.</summary>
    internal bool HoldsItsValue =>
        !(Lower > Upper) && !(Lower - Value > Rounding * Math.Abs(Value ?? 0)) && !(Value - Upper > Rounding * Math.Abs(Value ?? 0));
}
