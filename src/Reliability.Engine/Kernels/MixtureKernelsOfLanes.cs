using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Reliability.Engine.LocationScale;

namespace Reliability.Engine.Kernels;

/// <summary>What mixtures of log-location-scale lives ask of their members.</summary>
internal static class MixtureKernels<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    /// <summary>log S(u x + v) of each member at one place.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void LogSurvival<T>(ReadOnlySpan<double> u, ReadOnlySpan<double> v, double x, Span<double> log)
        where T : struct, IStandardDistribution
    {
        ref var us = ref MemoryMarshal.GetReference(u);
        ref var vs = ref MemoryMarshal.GetReference(v);
        ref var logs = ref MemoryMarshal.GetReference(log);
        T distribution = default;
        var at = TLanes.All(x);
        var i = 0;
        for (; i <= log.Length - TLanes.Count; i += TLanes.Count)
        {
            distribution.LogSurvival(
                TLanes.MultiplyAdd(TLanes.Load(ref us, i), at, TLanes.Load(ref vs, i)), out TLanes value, out _, out _);
            TLanes.Store(value, ref logs, i);
        }

        for (; i < log.Length; i++)
            log[i] = distribution.LogSurvival(u[i] * x + v[i]);
    }

    /// <summary>
    /// The weighted sum of exp(after - before), and of 1 less that, over members whose log S falls from one to the other; not a number
    /// where some member's is none.
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static (double Survive, double Fail) Chances(ReadOnlySpan<double> weights, ReadOnlySpan<double> before, ReadOnlySpan<double> after)
    {
        ref var ws = ref MemoryMarshal.GetReference(weights);
        ref var befores = ref MemoryMarshal.GetReference(before);
        ref var afters = ref MemoryMarshal.GetReference(after);
        TLanes survive = TLanes.All(0), fail = survive;
        var i = 0;
        for (; i <= weights.Length - TLanes.Count; i += TLanes.Count)
        {
            var weight = TLanes.Load(ref ws, i);
            var hazard = TLanes.Load(ref befores, i) - TLanes.Load(ref afters, i);
            var chance = TLanes.Exp(-hazard);
            survive = TLanes.MultiplyAdd(weight, chance, survive);
            fail = TLanes.MultiplyAdd(weight, LaneFunctions.OneMinusExp(hazard, chance), fail);
        }

        var (sum, failed) = (TLanes.Sum(survive), TLanes.Sum(fail));
        for (; i < weights.Length; i++)
        {
            var log = after[i] - before[i];
            sum += weights[i] * Math.Exp(log);
            failed -= weights[i] * SpecialFunctions.NearZero.Expm1(log);
        }

        return (sum, failed);
    }
}
