using Reliability.Engine.LocationScale;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Quantities;

/// <summary>The quantities a fitted life can be asked for. Ages are hours; x is a position on the sample's log axis.</summary>
internal static class LifeQuantities
{
    /// <summary>log shape = log u.</summary>
    public static LifeQuantity Shape { get; } = new(QuantityScale.Log, life => Math.Log(life.U)) { DependsOnV = false, IsPivotal = true };

    /// <summary>log sigma = -log u.</summary>
    public static LifeQuantity Sigma { get; } = new(QuantityScale.Log, life => -Math.Log(life.U)) { DependsOnV = false, IsPivotal = true };

    /// <summary>Location of log hours.</summary>
    public static LifeQuantity Location { get; } = new(QuantityScale.Identity, life => life.Location) { IsPivotal = true };

    /// <summary>exp of the location: the scale of a Weibull, the mean of an exponential.</summary>
    public static LifeQuantity Scale { get; } = new(QuantityScale.Log, life => life.Location) { IsPivotal = true };

    /// <summary>Mean life.</summary>
    public static LifeQuantity Mean { get; } =
        new(QuantityScale.Log, life => life.Location + life.Distribution.LogMean(life.Sigma));

    /// <summary>Age by which a fraction has failed.</summary>
    public static LifeQuantity Percentile(double fraction) =>
        new(QuantityScale.Log, life => life.Location + life.Sigma * life.Distribution.Quantile(fraction)) { IsPivotal = true };

    /// <summary>Probability of surviving to an age above 0.</summary>
    public static LifeQuantity Reliability(double hours) =>
        new(QuantityScale.Survival, LogHazardAt(hours)) { IsPivotal = true };

    /// <summary>Fraction failed by an age above 0.</summary>
    public static LifeQuantity FailedFraction(double hours) =>
        new(QuantityScale.Failure, LogHazardAt(hours)) { IsPivotal = true };

    /// <summary>Probability of surviving further hours given survival to an age, both above 0.</summary>
    public static LifeQuantity ConditionalReliability(double age, double horizon)
    {
        var widthX = NearZero.Log1p(horizon / age);
        return new(QuantityScale.Survival, life =>
        {
            var z = life.ZAt(life.Axis.ToX(age));
            var width = life.U * widthX;
            return life.Distribution.LogHazardBetween(z, z + width, width);
        });
    }

    /// <summary>Further hours by which a fraction of those alive at an age above 0 will have failed.</summary>
    public static LifeQuantity RemainingLife(double age, double fraction)
    {
        var hazard = -NearZero.Log1p(-fraction);
        var logAge = Math.Log(age);
        return new(QuantityScale.Log, life =>
        {
            // remaining = age (exp(advance / u) - 1)
            var growth = life.Distribution.Advance(life.ZAt(life.Axis.ToX(age)), hazard) * life.Sigma;
            return logAge + growth + NearZero.Log1mExp(-growth);
        });
    }

    /// <summary>Mean further hours of those alive at an age above 0.</summary>
    public static LifeQuantity MeanRemainingLife(double age) =>
        new(QuantityScale.Log, life =>
            life.Location + life.Distribution.LogMeanRemaining(life.Sigma, life.ZAt(life.Axis.ToX(age))));

    private static Func<LogTimeLife, double> LogHazardAt(double hours) =>
        life => life.Distribution.LogCumulativeHazard(life.ZAt(life.Axis.ToX(hours)));
}
