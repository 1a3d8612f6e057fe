using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>The quantities a fitted life can be asked for, for any family.</summary>
internal sealed class FamilyQuantities(ILifeFamily family)
{
    private readonly QuantityScale _lives = family.HasNegativeLives ? QuantityScale.Identity : QuantityScale.Log;

    /// <summary>A parameter, on the scale where it is unbounded; one above a limit other than 0 on its own.</summary>
    public FamilyQuantity Parameter(int index)
    {
        var parameter = family.Parameters[index];
        return (parameter.Transform, parameter.Lower, parameter.Upper) switch
        {
            (ParameterTransform.Log, 0, _) => new(QuantityScale.Log, p => Math.Log(p[index])),
            (ParameterTransform.Logit, 0, 1) => new(QuantityScale.Logit, p => Math.Log(p[index] / (1 - p[index]))),
            _ => new(QuantityScale.Identity, p => p[index]),
        };
    }

    public FamilyQuantity Mean() => new(_lives, p =>
    {
        var mean = family.Mean(p) ?? Math.Exp(RemainingLives.LogMean(family, p, 0));
        return _lives == QuantityScale.Log ? Math.Log(mean) : mean;
    });

    public FamilyQuantity Percentile(double fraction) => new(_lives, p =>
    {
        Span<double> hours = stackalloc double[1];
        family.Quantile(p, [fraction], hours);
        return _lives == QuantityScale.Log ? Math.Log(hours[0]) : hours[0];
    });

    public FamilyQuantity Reliability(double hours) => new(QuantityScale.Survival, p => LogHazardAt(p, hours));

    public FamilyQuantity FailedFraction(double hours) => new(QuantityScale.Failure, p => LogHazardAt(p, hours));

    public FamilyQuantity ConditionalReliability(double age, double horizon) => new(QuantityScale.Survival, p =>
    {
        Span<double> logs = stackalloc double[2];
        family.LogSurvival(p, [age, age + horizon], logs);
        return Math.Log(logs[0] - logs[1]);
    });

    public FamilyQuantity RemainingLife(double age, double fraction) =>
        new(QuantityScale.Log, p => RemainingLives.LogQuantile(family, p, age, -NearZero.Log1p(-fraction)));

    public FamilyQuantity MeanRemainingLife(double age) => new(
        QuantityScale.Log,
        p => family.MeanRemaining(p, age) is { } mean ? Math.Log(mean) : RemainingLives.LogMean(family, p, age));

    private double LogHazardAt(double[] parameters, double hours)
    {
        Span<double> log = stackalloc double[1];
        family.LogSurvival(parameters, [hours], log);
        return Math.Log(-log[0]);
    }
}
