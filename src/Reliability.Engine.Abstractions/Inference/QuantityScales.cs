using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Quantities;

/// <summary>Ways between a number and the scale of its bounds.</summary>
internal static class QuantityScales
{
    /// <summary>Back from the scale of its bounds.</summary>
    public static double Natural(this QuantityScale scale, double transformed) => scale switch
    {
        QuantityScale.Identity => transformed,
        QuantityScale.Log => Math.Exp(transformed),
        QuantityScale.Survival => Math.Exp(-Math.Exp(transformed)),
        QuantityScale.Logit => 1 / (1 + Math.Exp(-transformed)),
        _ => -NearZero.Expm1(-Math.Exp(transformed)),
    };

    /// <summary>Absolute derivative of <see cref="Natural"/>, which carries a standard error back.</summary>
    public static double NaturalSlope(this QuantityScale scale, double transformed) => scale switch
    {
        QuantityScale.Identity => 1,
        QuantityScale.Log => Math.Exp(transformed),
        QuantityScale.Logit => Math.Exp(-Math.Abs(transformed)) / Math.Pow(1 + Math.Exp(-Math.Abs(transformed)), 2),
        _ => Math.Exp(transformed - Math.Exp(transformed)),
    };

    /// <summary>Whether the natural number falls as the transformed one rises.</summary>
    public static bool IsReversed(this QuantityScale scale) => scale == QuantityScale.Survival;
}
