using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Reliability.Engine.Kernels;

namespace Reliability.Benchmarks.Kernels;

/// <summary>Passes over ages that do nothing but functions: the least that any fit must do.</summary>
internal static class LogExp
{
    /// <summary>A logarithm and an exponential of each age, by the base library.</summary>
    public static double Pass(ReadOnlySpan<double> hours) => Sum<LogThenExp>(hours);

    /// <summary>A logarithm of each age, by the base library.</summary>
    public static double BaseLogs(ReadOnlySpan<double> hours) => Sum<BaseLog>(hours);

    /// <summary>A logarithm of each age, by the kernels' own.</summary>
    public static double OwnLogs(ReadOnlySpan<double> hours) => Sum<OwnLog>(hours);

    private static double Sum<TFunction>(ReadOnlySpan<double> hours)
        where TFunction : struct, IFunction =>
        Width.Is512 ? Sum<TFunction, Lanes512>(hours) : Width.Is256 ? Sum<TFunction, Lanes256>(hours) : Sum<TFunction, Lanes128>(hours);

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static double Sum<TFunction, TLanes>(ReadOnlySpan<double> hours)
        where TFunction : struct, IFunction
        where TLanes : struct, ILanes<TLanes>
    {
        ref var from = ref MemoryMarshal.GetReference(hours);
        var sums = TLanes.All(0);
        for (var i = 0; i <= hours.Length - TLanes.Count; i += TLanes.Count)
            sums += TFunction.Of(TLanes.Load(ref from, i));
        return TLanes.Sum(sums);
    }

    private interface IFunction
    {
        static abstract TLanes Of<TLanes>(TLanes x)
            where TLanes : struct, ILanes<TLanes>;
    }

    private readonly struct LogThenExp : IFunction
    {
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static TLanes Of<TLanes>(TLanes x)
            where TLanes : struct, ILanes<TLanes> => TLanes.Exp(TLanes.All(0.5) * TLanes.Log(x));
    }

    private readonly struct BaseLog : IFunction
    {
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static TLanes Of<TLanes>(TLanes x)
            where TLanes : struct, ILanes<TLanes> => TLanes.Log(x);
    }

    private readonly struct OwnLog : IFunction
    {
        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static TLanes Of<TLanes>(TLanes x)
            where TLanes : struct, ILanes<TLanes> => LaneFunctions.Log(x);
    }
}
