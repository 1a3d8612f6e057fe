using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Kernels;

/// <summary>The passes over lives that give <see cref="WeightedPowers"/>: one exponential a life, all sums at once.</summary>
internal static class PowerKernels<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    /// <summary>Adds the powers of lives on the log time axis, from 0 to 3 or to 8.</summary>
    /// <typeparam name="THighest">Which; known when the loop is compiled, so that it keeps no more sums than it needs.</typeparam>
    /// <param name="sums">What to add to.</param>
    /// <param name="x">log(hours / greatest hours), 0 or less.</param>
    /// <param name="weights">Lives of each row; empty when each is one.</param>
    /// <param name="shape">The shape.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Add<THighest>(ref WeightedPowers sums, ReadOnlySpan<double> x, ReadOnlySpan<double> weights, double shape)
        where THighest : struct, IHighestPower
    {
        ref var xs = ref MemoryMarshal.GetReference(x);
        ref var ws = ref MemoryMarshal.GetReference(weights);
        var beta = TLanes.All(shape);
        TLanes s0 = TLanes.All(0), s1 = s0, s2 = s0, s3 = s0, s4 = s0, s5 = s0, s6 = s0, s7 = s0, s8 = s0;
        var i = 0;
        for (; i <= x.Length - TLanes.Count; i += TLanes.Count)
        {
            var at = TLanes.Load(ref xs, i);
            var power = TLanes.Exp(beta * at);
            if (!weights.IsEmpty)
                power *= TLanes.Load(ref ws, i);
            s0 += power;
            power *= at;
            s1 += power;
            power *= at;
            s2 += power;
            s3 = TLanes.MultiplyAdd(power, at, s3);
            if (THighest.Power < 8)
                continue;
            power *= at * at;
            s4 += power;
            power *= at;
            s5 += power;
            power *= at;
            s6 += power;
            power *= at;
            s7 += power;
            s8 = TLanes.MultiplyAdd(power, at, s8);
        }

        sums[0] += TLanes.Sum(s0);
        sums[1] += TLanes.Sum(s1);
        sums[2] += TLanes.Sum(s2);
        sums[3] += TLanes.Sum(s3);
        if (THighest.Power == 8)
        {
            sums[4] += TLanes.Sum(s4);
            sums[5] += TLanes.Sum(s5);
            sums[6] += TLanes.Sum(s6);
            sums[7] += TLanes.Sum(s7);
            sums[8] += TLanes.Sum(s8);
        }

        for (; i < x.Length; i++)
        {
            var power = Math.Exp(shape * x[i]) * (weights.IsEmpty ? 1 : weights[i]);
            for (var k = 0; k <= THighest.Power; k++)
            {
                sums[k] += power;
                power *= x[i];
            }
        }
    }

    /// <summary>Hours onto the log time axis, and the sum of x over failures.</summary>
    /// <param name="hours">Ages; may be the memory that takes the positions.</param>
    /// <param name="outcomes">How each ended: failed or survived.</param>
    /// <param name="weights">Lives of each row; empty when each is one.</param>
    /// <param name="reference">The greatest age.</param>
    /// <param name="x">Takes the positions.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static double ToAxis(
        ReadOnlySpan<double> hours, ReadOnlySpan<LifeOutcome> outcomes, ReadOnlySpan<double> weights, double reference, Span<double> x)
    {
        ref var from = ref MemoryMarshal.GetReference(hours);
        ref var to = ref MemoryMarshal.GetReference(x);
        TLanes whole = TLanes.All(reference), inverse = TLanes.All(1 / reference);
        var i = 0;
        for (; i <= hours.Length - TLanes.Count; i += TLanes.Count)
            TLanes.Store(LaneFunctions.LogRatio(TLanes.Load(ref from, i), whole, inverse), ref to, i);
        for (; i < hours.Length; i++)
            x[i] = LocationScale.LogTimeAxis.LogRatio(hours[i], reference);

        // Failed is 0, survived 1: no branch that a processor would guess wrong, and four sums, since each waits for its last addition.
        double failed = 0, second = 0, third = 0, fourth = 0;
        ref var kinds = ref MemoryMarshal.GetReference(outcomes);
        var k = 0;
        if (weights.IsEmpty)
        {
            for (; k < x.Length - 3; k += 4)
            {
                failed += IfFailed(Unsafe.Add(ref to, k), Unsafe.Add(ref kinds, k));
                second += IfFailed(Unsafe.Add(ref to, k + 1), Unsafe.Add(ref kinds, k + 1));
                third += IfFailed(Unsafe.Add(ref to, k + 2), Unsafe.Add(ref kinds, k + 2));
                fourth += IfFailed(Unsafe.Add(ref to, k + 3), Unsafe.Add(ref kinds, k + 3));
            }
        }

        for (; k < x.Length; k++)
            failed += x[k] * (1 - (int)outcomes[k]) * (weights.IsEmpty ? 1 : weights[k]);
        return failed + second + (third + fourth);
    }

    /// <summary>x of a failure, 0 of a survivor: all bits of the number or none.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static double IfFailed(double x, LifeOutcome outcome) =>
        BitConverter.Int64BitsToDouble(BitConverter.DoubleToInt64Bits(x) & ((long)outcome - 1));
}
