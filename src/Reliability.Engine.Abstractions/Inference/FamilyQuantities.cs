using Reliability.Engine.Abstractions;
using Reliability.Engine.Quantities;
using Reliability.Engine.SpecialFunctions;

namespace Reliability.Engine.Families;

/// <summary>The quantities a fitted life can be asked for, for any family.</summary>
internal sealed class FamilyQuantities(ILifeFamily family)
{
    private readonly QuantityScale _lives = family.HasNegativeLives ? QuantityScale.Identity : QuantityScale.Log;

    /// <summary>A parameter, on the scale where it is unbounded.</summary>
    public FamilyQuantity Parameter(int index)
    {
        var (lower, upper) = (family.Parameters[index].Lower, family.Parameters[index].Upper);
        return family.Parameters[index].Transform switch
        {
            ParameterTransform.Log => new(QuantityScale.Log, p => Math.Log(p[index] - lower)) { Offset = lower },
            ParameterTransform.Logit => new(QuantityScale.Logit, p => Math.Log((p[index] - lower) / (upper - p[index])))
            {
                Offset = lower,
                Span = upper - lower,
            },
            _ => new(QuantityScale.Identity, p => p[index]),
        };
    }

    public FamilyQuantity Mean() => new(_lives, p =>
    {
        var mean = family.Mean(p) ?? MeanLives.Of(family, p);
        return _lives == QuantityScale.Log ? Math.Log(mean) : mean;
    })
    {
        // The median is where the integral begins that stands in for a mean without a closed form.
        Expect = Expecting(FamilyQuestion.Mean, new FamilyQuestion(FamilyAnswer.Quantile, [0.5])),
    };

    public FamilyQuantity Percentile(double fraction) => new(_lives, p =>
    {
        Span<double> hours = stackalloc double[1];
        family.Quantile(p, [fraction], hours);
        return _lives == QuantityScale.Log ? Math.Log(hours[0]) : hours[0];
    })
    {
        Expect = Expecting(new FamilyQuestion(FamilyAnswer.Quantile, [fraction])),
    };

    public FamilyQuantity Reliability(double hours) => new(QuantityScale.Survival, p => LogHazardAt(p, hours)) { Expect = Expecting(Alive(hours)) };

    public FamilyQuantity FailedFraction(double hours) => new(QuantityScale.Failure, p => LogHazardAt(p, hours)) { Expect = Expecting(Alive(hours)) };

    public FamilyQuantity ConditionalReliability(double age, double horizon) => new(QuantityScale.Survival, p =>
    {
        Span<double> logs = stackalloc double[2];
        family.LogSurvival(p, [age, age + horizon], logs);
        return Math.Log(logs[0] - logs[1]);
    })
    {
        Expect = Expecting(Alive(age, age + horizon)),
    };

    public FamilyQuantity RemainingLife(double age, double fraction) =>
        new(QuantityScale.Log, p => RemainingLives.LogQuantile(family, p, age, -NearZero.Log1p(-fraction)));

    public FamilyQuantity MeanRemainingLife(double age) => new(
        QuantityScale.Log,
        p => family.MeanRemaining(p, age) is { } mean ? Math.Log(mean) : RemainingLives.LogMean(family, p, age));

    private static FamilyQuestion Alive(params double[] ages) => new(FamilyAnswer.LogSurvival, ages);

    private Action<IReadOnlyList<double[]>>? Expecting(params FamilyQuestion[] questions) =>
        family is IDistantFamily distant ? members => distant.Expect(questions, members) : null;

    private double LogHazardAt(double[] parameters, double hours)
    {
        Span<double> log = stackalloc double[1];
        family.LogSurvival(parameters, [hours], log);
        return Math.Log(-log[0]);
    }
}
