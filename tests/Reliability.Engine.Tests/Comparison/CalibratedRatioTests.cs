using MathNet.Numerics.Distributions;
using Reliability.Engine.Abstractions;
using Reliability.Engine.Tests.ReferenceValues;

namespace Reliability.Engine.Tests.Comparison;

/// <summary>Calibrated bounds of ratios of two cohorts, held against what is exact and against what they must do.</summary>
public sealed class CalibratedRatioTests
{
    private static readonly FitOptions Calibrated = new() { BoundsMethod = BoundsMethod.Calibrated };

    /// <summary>
    /// Of complete exponential samples the ratio of means over the true one is F with 2a and 2b degrees of freedom (Lawless 2003, 4.1); r*
    /// comes within a part in five hundred of it from three and five failures.
    /// </summary>
    [Fact]
    public void Of_exponential_samples_they_come_to_the_exact_bounds()
    {
        var ratio = Ratio("exponential", CohortEffectNames.MeanRatio, Lives([50, 90, 130]), Lives([100, 250, 300, 420, 700]));

        Assert.Equal(1, ratio.Lower!.Value * FisherSnedecor.InvCDF(10, 6, 0.975) / ratio.Value!.Value, 2e-3);
        Assert.Equal(1, ratio.Upper!.Value * FisherSnedecor.InvCDF(10, 6, 0.025) / ratio.Value!.Value, 2e-3);
    }

    [Theory]
    [InlineData("weibull", CohortEffectNames.B10Ratio)]
    [InlineData("weibull", CohortEffectNames.MeanRatio)]
    [InlineData("lognormal", CohortEffectNames.MedianRatio)]
    [InlineData("loglogistic", CohortEffectNames.B10Ratio)]
    public void Over_a_cohort_that_is_known_they_are_the_bounds_of_the_other(string model, string name)
    {
        var sample = Lives([80, 150, 220, 400, 520, 610], [100, 260, 330, 450, 480, 700, 700, 700]);
        var builder = new LifeSampleBuilder();
        for (var i = 0; i < 200; i++)
            builder.AddFailed(100 * Math.Sqrt(-Math.Log((i + 0.5) / 200)), count: 1e6);
        var known = builder.Build();

        var ratio = Ratio(model, name, known, sample);
        var (alone, reference) = (Ask(sample, Calibrated), Ask(known, FitOptions.Default));

        Assert.Equal(1, ratio.Lower!.Value * reference.Value!.Value / alone.Lower!.Value, 1e-5);
        Assert.Equal(1, ratio.Upper!.Value * reference.Value!.Value / alone.Upper!.Value, 1e-5);

        BoundedEstimate Ask(LifeSample lives, FitOptions options)
        {
            var fit = Asked.Model(model).Fit(lives, options).Value;
            return name == CohortEffectNames.MeanRatio ? fit.Mean() : fit.PercentileLife(name == CohortEffectNames.B10Ratio ? 0.1 : 0.5);
        }
    }

    [Fact]
    public void The_other_way_round_they_turn_over()
    {
        var (a, b) = (Lives([40, 75, 120, 160, 220], [230, 230]), Lives([80, 150, 220, 400, 520, 610], [100, 260, 700, 700]));

        var ratio = Ratio("weibull", CohortEffectNames.B10Ratio, a, b);
        var other = Ratio("weibull", CohortEffectNames.B10Ratio, b, a);

        Assert.Equal(1, ratio.Lower!.Value * other.Upper!.Value, 1e-6);
        Assert.Equal(1, ratio.Upper!.Value * other.Lower!.Value, 1e-6);
        Assert.Empty(ratio.Notes);
    }

    [Fact]
    public void One_failure_in_a_cohort_gets_likelihood_ratio_bounds_that_say_so()
    {
        var (a, b) = (Lives([40], [60, 70]), Lives([80, 150, 220, 400, 520, 610]));

        var ratio = Ratio("weibull", CohortEffectNames.B10Ratio, a, b);

        Assert.Contains(ratio.Notes, note => note.Code == WarningCodes.BoundsByLikelihoodRatio);
    }

    private static BoundedEstimate Ratio(string model, string name, LifeSample below, LifeSample above) =>
        ((ICohortComparer)Asked.Model(model)).Compare([below, above], Calibrated).Effects.Single(e => e.Name == name).Ratio;

    private static LifeSample Lives(double[] failed, double[]? survived = null)
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in failed)
            builder.AddFailed(hours);
        foreach (var hours in survived ?? [])
            builder.AddSurvived(hours);
        return builder.Build();
    }
}
