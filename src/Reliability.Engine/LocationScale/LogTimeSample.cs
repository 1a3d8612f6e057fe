using Reliability.Engine.Abstractions;
using Reliability.Engine.Kernels;

namespace Reliability.Engine.LocationScale;

/// <summary>
/// A life sample on the log time axis, x = log(t / reference), parted by what a row says. The reference is the greatest
/// age in the sample, so that x is 0 or less.
/// </summary>
internal sealed class LogTimeSample
{
    /// <summary>Up to so many rows are held as a whole; beyond, they pass block by block and nothing of the sample's length is kept.</summary>
    public const int MostHeldRows = 4096;

    private LogTimeRows? _rows;

    /// <param name="sample">The lives.</param>
    public LogTimeSample(LifeSample sample)
    {
        (Lives, Axis) = (sample, new(sample.OldestHours));
        (TotalFailed, TotalSurvived, TotalBetween) = (sample.FailedCount, sample.SurvivedCount, sample.BetweenCount);
        IsHeld = sample.RowCount <= MostHeldRows;
    }

    private LogTimeSample(LogTimeSample whole, int stride)
    {
        (Lives, Axis, IsHeld) = (whole.Lives, whole.Axis, true);
        _rows = new LogTimeRows();
        _rows.Fill(Lives, Axis, stride / 2, Lives.RowCount, stride);
        TotalFailed = Total(_rows.FailedCount);
        TotalSurvived = Total(_rows.SurvivedCount);
        TotalBetween = Total(_rows.BetweenCount);
    }

    public LifeSample Lives { get; }

    public LogTimeAxis Axis { get; }

    /// <summary>Whether all rows are held on the log time axis.</summary>
    public bool IsHeld { get; }

    /// <summary>All rows at once. Made when first asked for: of a large sample that takes memory as long as the sample.</summary>
    public LogTimeRows Rows
    {
        get
        {
            if (_rows is { } made)
                return made;
            var rows = new LogTimeRows();
            rows.Fill(Lives, Axis, 0, Lives.RowCount, 1);
            return _rows = rows;
        }
    }

    public ReadOnlySpan<double> FailedX => Rows.FailedX;

    public ReadOnlySpan<double> FailedCount => Rows.FailedCount;

    public ReadOnlySpan<double> SurvivedX => Rows.SurvivedX;

    public ReadOnlySpan<double> SurvivedCount => Rows.SurvivedCount;

    /// <summary>Lower interval ends; negative infinity for an interval from 0 h.</summary>
    public ReadOnlySpan<double> LowerX => Rows.LowerX;

    public ReadOnlySpan<double> UpperX => Rows.UpperX;

    /// <summary>UpperX - LowerX, computed from the hours so that narrow intervals keep their digits.</summary>
    public ReadOnlySpan<double> WidthX => Rows.WidthX;

    public ReadOnlySpan<double> BetweenCount => Rows.BetweenCount;

    public ReadOnlySpan<double> EntryX => Rows.EntryX;

    public ReadOnlySpan<double> EntryCount => Rows.EntryCount;

    public double TotalFailed { get; }

    public double TotalBetween { get; }

    public double TotalSurvived { get; }

    /// <summary>Rows evenly spread over this sample, at most as many as may be held, on the same axis.</summary>
    public LogTimeSample Few() => new(this, Spread.Stride(Lives.RowCount, MostHeldRows));

    private static double Total(ReadOnlySpan<double> counts)
    {
        double sum = 0;
        foreach (var count in counts)
            sum += count;
        return sum;
    }
}
