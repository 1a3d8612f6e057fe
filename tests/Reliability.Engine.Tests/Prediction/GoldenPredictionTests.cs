using MathNet.Numerics.Distributions;
using MathNet.Numerics.RootFinding;
using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Prediction;

namespace Reliability.Engine.Tests.Prediction;

/// <summary>
/// The posterior and the prediction against values computed by base R alone, by adaptive quadrature (calibrated.R of this project's
/// design), 95 % two-sided, with the leans fixed there: (0.5, 0.25) for A and E, none for B and D. A: NIST/SEMATECH e-Handbook
/// 8.4.1.3, all stopped at 500 h; B complete; D failure-terminated; E stopped at different ages.
/// </summary>
public sealed class GoldenPredictionTests
{
    private static readonly double[] NistFailures = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386];

    public static TheoryData<string, double, double, double> RemainingLife { get; } = new()
    {
        { "A", 500, 10.433147748, 2004.47699141 },
        { "B", 50, 1.68713264157, 196.830461344 },
        { "D", 60, 1.59407173301, 1155.64106718 },
        { "E", 400, 19.3092633347, 6044.49619967 },
    };

    public static TheoryData<string, string, double, double> Posterior { get; } = new()
    {
        { "A", "shape", 0.812143102705, 2.72290320028 }, { "A", "scale", 441.270492277, 1240.39722098 },
        { "A", "B10", 50.1105278067, 267.491377506 }, { "A", "mean", 397.821336251, 1293.9984486 },
        { "A", "R200", 0.688027839323, 0.949073513683 },
        { "B", "shape", 0.772390306174, 4.17811515034 }, { "B", "scale", 46.8134159677, 149.723183049 },
        { "B", "B10", 3.75542038124, 56.9520647917 }, { "B", "mean", 44.8596721643, 148.104092424 },
        { "B", "R50", 0.339400061944, 0.936877437099 },
        { "D", "shape", 0.42111777533, 2.91739103579 }, { "D", "scale", 48.2837189192, 521.652352601 },
        { "D", "B10", 1.03572794699, 38.9586518372 }, { "D", "mean", 45.5003637132, 1218.93215741 },
        { "D", "R20", 0.621649708579, 0.979087776888 },
        { "E", "shape", 0.537712402633, 2.48352400565 }, { "E", "scale", 485.29624365, 3103.33737233 },
        { "E", "B10", 22.5907454863, 335.586694604 }, { "E", "mean", 451.304826902, 4706.01775678 },
        { "E", "R200", 0.652873711088, 0.964793612696 },
    };

    [Theory]
    [MemberData(nameof(RemainingLife))]
    public void Remaining_life_is_that_of_the_golden_values(string set, double age, double lower, double upper)
    {
        var life = Predict<SmallestExtremeValue>(set);

        Assert.Equal(lower, life.RemainingLife(age, 0.025)!.Value, lower * 1e-6);
        Assert.Equal(upper, life.RemainingLife(age, 0.975)!.Value, upper * 1e-6);
        Assert.Equal(0.975, life.Survival(age, lower), 1e-9);
    }

    [Theory]
    [MemberData(nameof(Posterior))]
    public void Quantiles_of_the_posterior_are_those_of_the_golden_values(string set, string asked, double lower, double upper)
    {
        var life = Assert.IsType<GammaPredictiveLife>(Predict<SmallestExtremeValue>(set));
        var logReference = Math.Log(Set(set).OldestHours);

        // The chance under the posterior that the quantity is below a value: for the shape, the mass of its grid there.
        double Below(double value) => asked == "shape"
            ? ShapeBelow(life, Math.Log(value))
            : life.Nodes.Sum(n => n.Weight * ScaleBelow(n, value));
        double ScaleBelow(GammaNode node, double value)
        {
            var logHazard = node.LogExposure + asked switch
            {
                "scale" => -node.Shape * (Math.Log(value) - logReference),
                "B10" => Math.Log(-Math.Log(0.9)) - node.Shape * (Math.Log(value) - logReference),
                "mean" => -node.Shape * (Math.Log(value) - logReference - MathNet.Numerics.SpecialFunctions.GammaLn(1 + 1 / node.Shape)),
                _ => Math.Log(-Math.Log(value)) - node.Shape * (Math.Log(double.Parse(asked[1..], System.Globalization.CultureInfo.InvariantCulture)) - logReference),
            };
            return 1 - Gamma.CDF(life.Power, 1, Math.Exp(logHazard));
        }

        Assert.Equal(lower, Root(0.025, lower), lower * 1e-6);
        Assert.Equal(upper, Root(0.975, upper), upper * 1e-6);

        double Root(double chance, double near) =>
            Math.Exp(Brent.FindRoot(x => Below(Math.Exp(x)) - chance, Math.Log(near) - 0.01, Math.Log(near) + (asked[0] == 'R' ? 0.005 : 0.01), 1e-12));
    }

    [Theory]
    [MemberData(nameof(RemainingLife))]
    public void Quadrature_over_both_parameters_gives_the_same(string set, double age, double lower, double upper)
    {
        var tilt = Tilt(set);
        var likelihood = LogTimeLikelihood.Create<SmallestExtremeValue>(Set(set));
        var closed = Assert.IsType<GammaPredictiveLife>(Predict<SmallestExtremeValue>(set));
        var layer = new QuadratureLayer(likelihood, TestContext.Current.CancellationToken);

        var life = layer.Predict([.. closed.Nodes.Select(n => (n.Shape, n.Weight))], tilt)!;

        Assert.Equal(lower, life.RemainingLife(age, 0.025)!.Value, lower * 1e-6);
        Assert.Equal(upper, life.RemainingLife(age, 0.975)!.Value, upper * 1e-6);
    }

    /// <summary>The integral of the cubic through neighbouring nodes would do; the density itself is laid out again, finer, up to the value.</summary>
    private static double ShapeBelow(GammaPredictiveLife life, double logShape)
    {
        var x = life.Nodes.Select(n => Math.Log(n.Shape)).ToArray();
        var step = x[1] - x[0];
        // Sinc interpolation of an analytic density from equal steps: its integral is the sum of sine integrals.
        return life.Nodes.Select((n, i) => n.Weight * (0.5 + SineIntegral(Math.PI * (logShape - x[i]) / step) / Math.PI)).Sum();
    }

    private static double SineIntegral(double x)
    {
        var rule = new MathNet.Numerics.Integration.GaussLegendreRule(0, 1, 20);
        var pieces = Math.Max(1, (int)Math.Ceiling(Math.Abs(x) / 3));
        double sum = 0;
        for (var p = 0; p < pieces; p++)
        {
            for (var k = 0; k < rule.Order; k++)
            {
                var t = x * (p + rule.GetAbscissa(k)) / pieces;
                sum += rule.GetWeight(k) * (t == 0 ? 1 : Math.Sin(t) / t) * x / pieces;
            }
        }

        return sum;
    }

    private static PriorTilt Tilt(string set) => set is "A" or "E" ? new(0.5, 0.25) : PriorTilt.None;

    private static PredictiveLife Predict<T>(string set)
        where T : struct, IStandardDistribution
    {
        var sample = Set(set);
        return (PredictiveLife)LocationScalePredictor.Predict(
            [(LogTimeLikelihood.Create<T>(sample), sample)], Termination.Unspecified, Tilt(set), TestContext.Current.CancellationToken).Value;
    }

    private static LifeSample Set(string set) => set switch
    {
        "A" => Lives(NistFailures, Enumerable.Repeat(500.0, 10)),
        "B" => Lives([32, 55, 61, 90, 118], []),
        "D" => Lives([12, 25, 31, 48, 60], Enumerable.Repeat(60.0, 5)),
        _ => Lives([80, 150, 220, 400, 520, 610], [100, 260, 330, 450, 480, 700, 700, 700]),
    };

    private static LifeSample Lives(IEnumerable<double> failures, IEnumerable<double> survivors)
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in failures)
            builder.AddFailed(hours);
        foreach (var hours in survivors)
            builder.AddSurvived(hours);
        return builder.Build();
    }
}
