using Reliability.Engine.Abstractions;
using Reliability.Engine.Bounds;
using Reliability.Engine.Bounds.Calibrated;
using Reliability.Engine.Fitting;
using Reliability.Engine.LocationScale;
using Reliability.Engine.Quantities;

namespace Reliability.Engine.Tests.Bounds;

/// <summary>
/// r* against values computed by base R alone, by quadrature and differences (calibrated.R of this project's design: Skovgaard 1996;
/// Fraser, Reid and Wu 1999), 95 % two-sided. A: NIST/SEMATECH e-Handbook 8.4.1.3, all stopped at 500 h; B complete;
/// D failure-terminated; E stopped at different ages, the plan by the reverse Kaplan-Meier estimate.
/// </summary>
public sealed class CalibratedGoldenTests
{
    private static readonly double[] NistFailures = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386];

    public static TheoryData<string, string, double, double> Golden { get; } = new()
    {
        { "A", "shape", .855751993, 2.79567212 }, { "A", "scale", 436.133741, 1225.09656 }, { "A", "B10", 53.9831851, 264.615765 },
        { "A", "mean", 386.130659, 1214.88456 }, { "A", "R200", .687221062, .949444059 },
        { "B", "shape", .794917409, 4.21552701 }, { "B", "scale", 46.9946827, 147.695265 }, { "B", "B10", 4.06592375, 56.9856787 },
        { "B", "mean", 42.9192035, 132.013448 }, { "B", "R50", .340595312, .937557694 },
        { "D", "shape", .434002681, 2.94731359 }, { "D", "scale", 48.1788782, 489.242983 }, { "D", "B10", 1.13689546, 38.8572185 },
        { "D", "mean", 43.0603469, 962.906714 }, { "D", "R20", .622575320, .979419390 },
        { "E", "shape", 0.594705293, 2.57047927 }, { "E", "scale", 469.223922, 2857.9186 }, { "E", "B10", 27.6200242, 323.650739 },
        { "E", "mean", 424.392554, 3622.78043 }, { "E", "R200", 0.650197658, 0.965003463 },
    };

    [Theory]
    [MemberData(nameof(Golden))]
    public void Bounds_are_those_of_the_golden_values(string set, string asked, double lower, double upper)
    {
        var sample = Set(set);
        var likelihood = LogTimeLikelihood.Create<SmallestExtremeValue>(sample);
        Assert.True(Maximiser.Maximise(likelihood, TestContext.Current.CancellationToken).TryGet(out var maximum, out _));
        var plan = PlanDetection.Of(sample, Termination.Unspecified);
        Assert.Equal(set is "B" or "D" ? Termination.FailureTerminated : Termination.TimeTerminated, plan.Termination);
        var space = new ParameterSpace(likelihood.Distribution, likelihood.Sample.Axis, maximum);
        var bounds = new CalibratedBounds(likelihood, space, BoundsChoice.Outcomes(likelihood, maximum, sample, plan), 0.95);
        var quantity = asked switch
        {
            "shape" => LifeQuantities.Shape,
            "scale" => LifeQuantities.Scale,
            "B10" => LifeQuantities.Percentile(0.1),
            "mean" => LifeQuantities.Mean,
            _ => LifeQuantities.Reliability(double.Parse(asked[1..], System.Globalization.CultureInfo.InvariantCulture)),
        };

        var found = bounds.Of(quantity, TestContext.Current.CancellationToken);

        double[] natural = [quantity.Natural(found.Lower!.Value), quantity.Natural(found.Upper!.Value)];
        Array.Sort(natural);
        Assert.Equal(lower, natural[0], lower * 1e-6);
        Assert.Equal(upper, natural[1], upper * 1e-6);
    }

    private static LifeSample Set(string set) => set switch
    {
        "A" => Lives(NistFailures, Enumerable.Repeat(500.0, 10)),
        "B" => Lives([32, 55, 61, 90, 118], []),
        "D" => Lives([12, 25, 31, 48, 60], Enumerable.Repeat(60.0, 5)),
        _ => Lives([80, 150, 220, 400, 520, 610], [100, 260, 330, 450, 480, 700, 700, 700]),
    };

    private static LifeSample Lives(IEnumerable<double> failed, IEnumerable<double> survived)
    {
        var builder = new LifeSampleBuilder();
        foreach (var hours in failed)
            builder.AddFailed(hours);
        foreach (var hours in survived)
            builder.AddSurvived(hours);
        return builder.Build();
    }
}
