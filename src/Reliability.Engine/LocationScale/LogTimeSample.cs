using Reliability.Engine.Abstractions;

namespace Reliability.Engine.LocationScale;

/// <summary>
/// A life sample on the log time axis, x = log(t / reference), parted by what a row says. The reference is the greatest
/// age in the sample, so that x is 0 or less.
/// </summary>
internal sealed class LogTimeSample
{
    public LogTimeSample(LifeSample sample)
    {
        Axis = new LogTimeAxis(sample.OldestHours);
        var outcomes = sample.Outcomes;
        var lower = sample.LowerHours;
        var upper = sample.UpperHours;
        var entry = sample.EntryHours;
        var counts = sample.Counts;

        int failed = 0, survived = 0, between = 0, late = 0;
        for (var i = 0; i < outcomes.Length; i++)
        {
            switch (outcomes[i])
            {
                case LifeOutcome.Failed: failed++; break;
                case LifeOutcome.Survived: survived++; break;
                default: between++; break;
            }

            if (entry[i] > 0)
                late++;
        }

        FailedX = new double[failed];
        FailedCount = new double[failed];
        SurvivedX = new double[survived];
        SurvivedCount = new double[survived];
        LowerX = new double[between];
        UpperX = new double[between];
        WidthX = new double[between];
        BetweenCount = new double[between];
        EntryX = new double[late];
        EntryCount = new double[late];
        failed = survived = between = late = 0;
        for (var i = 0; i < outcomes.Length; i++)
        {
            switch (outcomes[i])
            {
                case LifeOutcome.Failed:
                    FailedX[failed] = Axis.ToX(lower[i]);
                    FailedCount[failed++] = counts[i];
                    SumLogFailedHours += counts[i] * Math.Log(lower[i]);
                    break;
                case LifeOutcome.Survived:
                    SurvivedX[survived] = Axis.ToX(lower[i]);
                    SurvivedCount[survived++] = counts[i];
                    break;
                default:
                    LowerX[between] = Axis.ToX(lower[i]);
                    UpperX[between] = Axis.ToX(upper[i]);
                    WidthX[between] = lower[i] > 0
                        ? LogTimeAxis.LogRatio(upper[i], lower[i])
                        : double.PositiveInfinity;
                    BetweenCount[between++] = counts[i];
                    break;
            }

            if (entry[i] > 0)
            {
                EntryX[late] = Axis.ToX(entry[i]);
                EntryCount[late++] = counts[i];
            }
        }

        TotalFailed = sample.FailedCount;
        TotalBetween = sample.BetweenCount;
        TotalSurvived = sample.SurvivedCount;
    }

    public LogTimeAxis Axis { get; }

    public double[] FailedX { get; }

    public double[] FailedCount { get; }

    public double[] SurvivedX { get; }

    public double[] SurvivedCount { get; }

    /// <summary>Lower interval ends; negative infinity for an interval from 0 h.</summary>
    public double[] LowerX { get; }

    public double[] UpperX { get; }

    /// <summary>UpperX - LowerX, computed from the hours so that narrow intervals keep their digits.</summary>
    public double[] WidthX { get; }

    public double[] BetweenCount { get; }

    public double[] EntryX { get; }

    public double[] EntryCount { get; }

    public double TotalFailed { get; }

    public double TotalBetween { get; }

    public double TotalSurvived { get; }

    /// <summary>Sum of log hours over exact failures: turns the density of log t into that of t.</summary>
    public double SumLogFailedHours { get; }
}
