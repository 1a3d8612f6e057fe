using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Families;

/// <summary>Something asked of a member of a family, as a function of its natural parameters on the scale of its bounds.</summary>
/// <param name="Scale">The scale.</param>
/// <param name="Transformed">The quantity on it; not finite where it does not exist.</param>
internal sealed record FamilyQuantity(QuantityScale Scale, Func<double[], double> Transformed)
{
    /// <summary>What is added to the number that the scale leads back to: the limit of a parameter that is not 0.</summary>
    public double Offset { get; init; }

    /// <summary>What it is multiplied by before: the width between a parameter's limits.</summary>
    public double Span { get; init; } = 1;

    /// <summary>Tells a family in another process of which members the quantity will be asked next; null where that is of no use.</summary>
    public Action<IReadOnlyList<double[]>>? Expect { get; init; }

    /// <summary>An estimate made on the scale, as one of the quantity.</summary>
    public BoundedEstimate InPlace(BoundedEstimate estimate) => Offset == 0 && Span == 1
        ? estimate
        : estimate with
        {
            Value = Offset + Span * estimate.Value,
            Lower = Offset + Span * estimate.Lower,
            Upper = Offset + Span * estimate.Upper,
            StandardError = Span * estimate.StandardError,
        };
}
