using System.Runtime.CompilerServices;
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

    // Whether every list of counts holds ones from end to end: of lives that stand for themselves none are written.
    private bool _ones;

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
        var rows = Math.Max(0, (end - from + stride - 1) / stride);
        Room(ref _failedX, ref _failedCount, rows);
        Room(ref _survivedX, ref _survivedCount, rows);
        Room(ref _lowerX, ref _betweenCount, sample.HasIntervals ? rows : 0);
        Room(ref _upperX, ref _widthX, sample.HasIntervals ? rows : 0);
        Room(ref _entryX, ref _entryCount, sample.HasLateEntry ? rows : 0);
        if (!sample.HasCounts && !_ones)
        {
            foreach (var counts in (ReadOnlySpan<double[]>)[_failedCount, _survivedCount, _betweenCount, _entryCount])
                Array.Fill(counts, 1);
        }

        _ones = !sample.HasCounts;
        Part(sample, from, end, stride);
        ToAxis(axis);
    }

    private void Room(ref double[] first, ref double[] second, int rows)
    {
        if (first.Length >= rows)
            return;
        first = new double[rows];
        second = new double[rows];
        _ones = false;
    }

    // Which outcome comes next a processor cannot guess: a row is written behind every list, and the one that it belongs to grows.
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private void Part(LifeSample sample, int from, int end, int stride)
    {
        var outcomes = sample.Outcomes[..end];
        var lower = sample.LowerHours;
        Span<double> failedX = _failedX, survivedX = _survivedX;
        int failed = 0, survived = 0;
        for (var i = from; i < outcomes.Length; i += stride)
        {
            failedX[failed] = survivedX[survived] = lower[i];
            if (!_ones)
                _failedCount[failed] = _survivedCount[survived] = sample.Counts[i];
            failed += outcomes[i] == LifeOutcome.Failed ? 1 : 0;
            survived += outcomes[i] == LifeOutcome.Survived ? 1 : 0;
        }

        (_failed, _survived) = (failed, survived);
        _between = sample.HasIntervals ? PartBetween(sample, from, end, stride) : 0;
        _entries = sample.HasLateEntry ? PartEntries(sample, from, end, stride) : 0;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private int PartBetween(LifeSample sample, int from, int end, int stride)
    {
        var outcomes = sample.Outcomes[..end];
        var lower = sample.LowerHours;
        var upper = sample.UpperHours;
        Span<double> lowerX = _lowerX, upperX = _upperX;
        var between = 0;
        for (var i = from; i < outcomes.Length; i += stride)
        {
            lowerX[between] = lower[i];
            upperX[between] = upper[i];
            if (!_ones)
                _betweenCount[between] = sample.Counts[i];
            between += outcomes[i] == LifeOutcome.Between ? 1 : 0;
        }

        return between;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private int PartEntries(LifeSample sample, int from, int end, int stride)
    {
        var entry = sample.EntryHours[..end];
        Span<double> entryX = _entryX;
        var entries = 0;
        for (var i = from; i < entry.Length; i += stride)
        {
            entryX[entries] = entry[i];
            if (!_ones)
                _entryCount[entries] = sample.Counts[i];
            entries += entry[i] > 0 ? 1 : 0;
        }

        return entries;
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

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
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

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
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
