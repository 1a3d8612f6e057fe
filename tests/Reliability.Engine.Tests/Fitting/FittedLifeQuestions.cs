using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Tests.Fitting;

/// <summary>Everything that a fitted life can be asked.</summary>
internal static class FittedLifeQuestions
{
    public static IEnumerable<Func<IFittedLife, BoundedEstimate>> Of(double age) =>
    [
        life => life.Mean(),
        life => life.PercentileLife(0.01),
        life => life.PercentileLife(0.5),
        life => life.Reliability(age),
        life => life.ConditionalReliability(age, age),
        life => life.RemainingLife(age, 0.5),
        life => life.MeanRemainingLife(age),
    ];

    public static void Finite(BoundedEstimate estimate)
    {
        foreach (var number in (double?[])[estimate.Value, estimate.Lower, estimate.Upper, estimate.StandardError])
            Assert.True(number is null || double.IsFinite(number.Value), $"{estimate}");
        if (estimate.Side == BoundSide.Both && (estimate.Value ?? estimate.Lower ?? estimate.Upper) is null)
            Assert.NotEmpty(estimate.Notes);
    }
}
