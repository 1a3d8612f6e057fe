using Reliability.V1;

namespace Reliability.Cli.Tests.Fits;

/// <summary>Answers for tests of how they are shown; the numbers stand for nothing.</summary>
internal static class ExampleFits
{
    public static Estimate Both(double value, double lower, double upper) =>
        new() { Value = value, Lower = lower, Upper = upper, StandardError = value / 10, BoundSide = BoundSide.Both };

    public static LifeFit Fitted() => new()
    {
        LifeModel = "weibull",
        DisplayName = "Weibull",
        ConfidenceLevel = 0.95,
        BoundsMethod = BoundsMethod.LikelihoodRatio,
        ParameterOrder = { "shape", "scale" },
        Parameters = { ["shape"] = Both(1.72083, 0.99, 2.8), ["scale"] = Both(606.5276, 450, 1000) },
        LogLikelihood = -75.1347,
        MeanLife = Both(540.737, 390.2, 811.9),
        PercentileLives =
        {
            new PercentileLife { FailureFraction = 0.1, Hours = Both(164, 80, 250) },
            new PercentileLife { FailureFraction = 0.5, Hours = Both(490, 380, 700) },
        },
        Reliability = { new ReliabilityPoint { Hours = 2000, Probability = Both(0.4, 0.2, 0.6) } },
        RemainingLives =
        {
            new RemainingLife
            {
                AgeHours = 300,
                MedianHours = Both(250, 100, 400),
                MeanHours = Both(260, 110, 420),
                Survival = { new ReliabilityPoint { Hours = 50, Probability = Both(0.9, 0.8, 0.95) } },
            },
        },
        GoodnessOfFit = new GoodnessOfFit { Aic = 154.27 },
    };

    /// <summary>No failures, shape taken as known: lower bounds alone.</summary>
    public static LifeFit BoundOnly() => new()
    {
        LifeModel = "weibull",
        ConfidenceLevel = 0.95,
        BoundsMethod = BoundsMethod.Exact,
        ParameterOrder = { "shape", "scale" },
        Parameters = { ["shape"] = new Estimate { Value = 2 }, ["scale"] = new Estimate { Lower = 3000, BoundSide = BoundSide.Lower } },
        FixedParameters = { ["shape"] = 2 },
        MeanLife = new Estimate { Lower = 2658, BoundSide = BoundSide.Lower },
        Warnings = { new Warning { Code = "NO_FAILURES", Text = "There are no failures: there is a lower bound and no estimate." } },
    };

    public static LifeFit WithPlot(LifeFit fit)
    {
        fit.Plot = new FitPlot
        {
            Axes = new PlotAxes { HoursScale = "log", FractionScale = "weibull", FractionTicks = { new AxisTick { Fraction = 0.1, Position = -2.2504 } } },
            Line =
            {
                new PlotPoint { Hours = 100, HoursPosition = 4.605, FractionPosition = new Estimate { Value = -3.1, Lower = -4, Upper = -2.5 } },
                new PlotPoint { Hours = 1000, HoursPosition = 6.908, FractionPosition = new Estimate { Upper = 1.2 } },
            },
            Marks =
            {
                new ObservedMark { Hours = 54, HoursPosition = 3.989, FractionPosition = -2.97 },
                new ObservedMark { Hours = 300, HoursPosition = 5.704, UpperHours = 480, UpperHoursPosition = 6.174, FractionPosition = -1.5 },
            },
        };
        return fit;
    }
}
