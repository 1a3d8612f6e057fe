using System.Runtime.InteropServices;
using Reliability.Engine.Abstractions;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Kernels;

/// <summary>
/// Rows of a sample, or of a part of it, parted by what they say and put on the log time axis: a structure of arrays that may be filled
/// again and again. A large sample is never held like this as a whole; its blocks pass through the rows of each thread.
/// </summary>
internal sealed class LogTimeRows
{
    private double[] _failedX = [], _failedCount = [];
    private double[] _survivedX = [], _survivedCount = [];
    private double[] _lowerX = [], _upperX = [], _widthX = [], _betweenCount = [];
    private double[] _entryX = [], _entryCount = [];
    private int _failed, _survived, _between, _entries;

    public ReadOnlySpan<double> FailedX => _failedX.AsSpan(0, _failed);

    public ReadOnlySpan<double> FailedCount => _failedCount.AsSpan(0, _failed);

    public ReadOnlySpan<double> SurvivedX => _survivedX.AsSpan(0, _survived);

    public ReadOnlySpan<double> SurvivedCount => _survivedCount.AsSpan(0, _survived);

    /// <summary>Lower interval ends; negative infinity for an interval from 0 h.</summary>
    public ReadOnlySpan<double> LowerX => _lowerX.AsSpan(0, _between);

    public ReadOnlySpan<double> UpperX => _upperX.AsSpan(0, _between);

    /// <summary>UpperX - LowerX, computed from the hours so that narrow intervals keep their digits.</summary>
    public ReadOnlySpan<double> WidthX => _widthX.AsSpan(0, _between);

    public ReadOnlySpan<double> BetweenCount => _betweenCount.AsSpan(0, _between);

    public ReadOnlySpan<double> EntryX => _entryX.AsSpan(0, _entries);

    public ReadOnlySpan<double> EntryCount => _entryCount.AsSpan(0, _entries);

    /// <summary>Takes the rows from, from + stride, ... below an end, in place of those held.</summary>
    public void Fill(LifeSample sample, LogTimeAxis axis, int from, int end, int stride)
    {
        _failed = _survived = _between = _entries = 0;
        var rows = Math.Max(0, (end - from + stride - 1) / stride);
        Room(ref _failedX, ref _failedCount, sample.FailedCount > 0 ? rows : 0);
        Room(ref _survivedX, ref _survivedCount, sample.SurvivedCount > 0 ? rows : 0);
        Room(ref _lowerX, ref _betweenCount, sample.HasIntervals ? rows : 0);
        Room(ref _upperX, ref _widthX, sample.HasIntervals ? rows : 0);
        Room(ref _entryX, ref _entryCount, sample.HasLateEntry ? rows : 0);
        Part(sample, from, end, stride);
        ToAxis(axis);
    }

    private static void Room(ref double[] first, ref double[] second, int rows)
    {
        if (first.Length >= rows)
            return;
        first = new double[rows];
        second = new double[rows];
    }

    private void Part(LifeSample sample, int from, int end, int stride)
    {
        var outcomes = sample.Outcomes;
        var lower = sample.LowerHours;
        var upper = sample.UpperHours;
        var entry = sample.EntryHours;
        var counts = sample.Counts;
        var late = sample.HasLateEntry;
        for (var i = from; i < end; i += stride)
        {
            switch (outcomes[i])
            {
                case LifeOutcome.Failed:
                    _failedX[_failed] = lower[i];
                    _failedCount[_failed++] = counts[i];
                    break;
                case LifeOutcome.Survived:
                    _survivedX[_survived] = lower[i];
                    _survivedCount[_survived++] = counts[i];
                    break;
                default:
                    _lowerX[_between] = lower[i];
                    _upperX[_between] = upper[i];
                    _betweenCount[_between++] = counts[i];
                    break;
            }

            if (late && entry[i] > 0)
            {
                _entryX[_entries] = entry[i];
                _entryCount[_entries++] = counts[i];
            }
        }
    }

    /// <summary>Turns hours into log time, and the ends of intervals into their width.</summary>
    private void ToAxis(LogTimeAxis axis)
    {
        if (Width.Is512)
            ToAxis<Lanes512>(axis);
        else if (Width.Is256)
            ToAxis<Lanes256>(axis);
        else
            ToAxis<Lanes128>(axis);
    }

    private void ToAxis<TLanes>(LogTimeAxis axis)
        where TLanes : struct, ILanes<TLanes>
    {
        ToWidth<TLanes>(_lowerX.AsSpan(0, _between), _upperX.AsSpan(0, _between), _widthX.AsSpan(0, _between));
        ToX<TLanes>(_failedX.AsSpan(0, _failed), axis);
        ToX<TLanes>(_survivedX.AsSpan(0, _survived), axis);
        ToX<TLanes>(_lowerX.AsSpan(0, _between), axis);
        ToX<TLanes>(_upperX.AsSpan(0, _between), axis);
        ToX<TLanes>(_entryX.AsSpan(0, _entries), axis);
    }

    [System.Runtime.CompilerServices.MethodImpl(System.Runtime.CompilerServices.MethodImplOptions.AggressiveOptimization)]
    private static void ToX<TLanes>(Span<double> hours, LogTimeAxis axis)
        where TLanes : struct, ILanes<TLanes>
    {
        var reference = TLanes.All(axis.ReferenceHours);
        var inverse = TLanes.All(1 / axis.ReferenceHours);
        ref var x = ref MemoryMarshal.GetReference(hours);
        var i = 0;

        // The inverse of the very smallest numbers is not a number: then row by row.
        if (double.IsFinite(1 / axis.ReferenceHours))
        {
            for (; i <= hours.Length - TLanes.Count; i += TLanes.Count)
                TLanes.Store(LaneFunctions.LogRatio(TLanes.Load(ref x, i), reference, inverse), ref x, i);
        }

        for (; i < hours.Length; i++)
            hours[i] = axis.ToX(hours[i]);
    }

    [System.Runtime.CompilerServices.MethodImpl(System.Runtime.CompilerServices.MethodImplOptions.AggressiveOptimization)]
    private static void ToWidth<TLanes>(ReadOnlySpan<double> lower, ReadOnlySpan<double> upper, Span<double> width)
        where TLanes : struct, ILanes<TLanes>
    {
        ref var l = ref MemoryMarshal.GetReference(lower);
        ref var u = ref MemoryMarshal.GetReference(upper);
        ref var w = ref MemoryMarshal.GetReference(width);
        var i = 0;
        for (; i <= width.Length - TLanes.Count; i += TLanes.Count)
            TLanes.Store(LaneFunctions.LogWidth(TLanes.Load(ref l, i), TLanes.Load(ref u, i)), ref w, i);
        for (; i < width.Length; i++)
            width[i] = lower[i] > 0 ? LogTimeAxis.LogRatio(upper[i], lower[i]) : double.PositiveInfinity;
    }
}
