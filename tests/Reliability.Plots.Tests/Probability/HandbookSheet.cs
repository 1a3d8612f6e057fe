using Reliability.Plots.Probability;

namespace Reliability.Plots.Tests.Probability;

/// <summary>
/// The 20 units of NIST/SEMATECH e-Handbook 8.4.1.3 on Weibull axes: ten failures, ten that survived 500 h; Weibull
/// shape 1.7208 and scale 606.53 as printed there. The bounds are drawn from made-up scales; they only need to be bounds.
/// </summary>
internal static class HandbookSheet
{
    public static readonly double[] Failures = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386];

    private static readonly double[] TickFractions =
        [.001, .002, .005, .01, .02, .05, .1, .2, .3, .5, .632, .7, .9, .99, .999];

    public static double FractionPosition(double fraction) => Math.Log(-Math.Log(1 - fraction));

    public static ProbabilityAxes Axes(string scale = "log") =>
        new(scale, [.. TickFractions
            .Select(fraction => new FractionTick(fraction, FractionPosition(fraction)))]);

    public static ProbabilityCohort Cohort(string name = "Handbook units", double factor = 1) => new()
    {
        Name = name,
        ObservedBy = "Kaplan-Meier",
        Line = [.. Enumerable.Range(0, 101).Select(i => Point(factor, 30 * factor * Math.Exp(i * Math.Log(30) / 100)))],
        Observed =
        [
            // Kaplan-Meier with 20 at risk and no survivor before the last failure: i / 20.
            .. Failures.Select((hours, i) => new ObservedFailure(
                hours * factor, Math.Log(hours * factor), null, FractionPosition((i + 1) / 20.0))),
        ],
    };

    public static ProbabilityCohort IntervalCohort(string name = "Found late") => new()
    {
        Name = name,
        ObservedBy = "Turnbull",
        Line = Cohort(name, 2).Line,
        Observed =
        [
            new ObservedFailure(0, 0, Math.Log(180), FractionPosition(.05)),
            new ObservedFailure(300, Math.Log(300), Math.Log(480), FractionPosition(.18)),
            new ObservedFailure(700, Math.Log(700), Math.Log(1000), FractionPosition(.5)),
        ],
    };

    public static ProbabilitySheet Sheet(params ProbabilityCohort[] cohorts) => new()
    {
        Title = "Handbook units, Weibull",
        BoundsLabel = "95 % bounds",
        Notes = ["shape 1.7208", "scale 606.53 h"],
        Axes = Axes(),
        Cohorts = cohorts,
    };

    private static FittedPoint Point(double factor, double hours)
    {
        double position = 1.7208 * Math.Log(hours / (606.53 * factor));
        double spread = .35 + .15 * Math.Abs(position + 1);
        return new FittedPoint(hours, Math.Log(hours), position, position - spread, position + spread);
    }
}
