using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Quantities;

/// <summary>
/// Something asked of a fitted life, as a function of its parameters on the scale where bounds are made
/// (log for positive numbers, Meeker and Escobar 1998, 8.4; log(-log) for probabilities, Kalbfleisch and Prentice 2002, 1.4).
/// </summary>
internal sealed class LifeQuantity
{
    private readonly Func<LogTimeLife, double> _transformed;

    public LifeQuantity(QuantityScale scale, Func<LogTimeLife, double> transformed, bool? risesWithV = null)
    {
        Scale = scale;
        _transformed = transformed;
        RisesWithV = risesWithV ?? scale is QuantityScale.Survival or QuantityScale.Failure;
    }

    public QuantityScale Scale { get; }

    /// <summary>Whether the quantity depends on v at all: shape and sigma do not.</summary>
    public bool DependsOnV { get; init; } = true;

    /// <summary>Whether pivotal bounds of it are exact: shape, scale, percentile lives and reliability (Lawless 2003, ch. 5).</summary>
    public bool IsPivotal { get; init; }

    /// <summary>Whether the transformed quantity rises with v at fixed u: hazards do, lives fall.</summary>
    public bool RisesWithV { get; }

    /// <summary>The quantity on the scale of its bounds.</summary>
    public double Transformed(LogTimeLife life) => _transformed(life);

    /// <summary>Back from the scale of its bounds.</summary>
    public double Natural(double transformed) => Scale.Natural(transformed);
}
