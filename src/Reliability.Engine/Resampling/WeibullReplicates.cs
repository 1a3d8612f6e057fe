using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using Reliability.Engine.Kernels;

namespace Reliability.Engine.Resampling;

/// <summary>
/// Simulates and fits eight replicates of a Weibull sample side by side. With z = log hazard, m the mean z of the failures and S_k the sum
/// of exp(u z) z^k over all lives, u solves u (S_1 / S_0 - m) = 1 (Lawless 2003, 5.2). At u = 1, where the truth lies, exp(u z) is the
/// hazard that was drawn: sums of its products with powers of z give the S_k nearby by Taylor's series and with them nearly the solution,
/// without an exponential; one pass with exponentials (Halley's method on log u) ends it to rounding, rarely two.
/// </summary>
internal static class WeibullReplicates<TLanes>
    where TLanes : struct, ILanes<TLanes>
{
    private const int Eight = EightStreams.Count;
    private const int SeriesSteps = 5, MostPasses = 60;
    private const double Reach = 0.5;

    // Halley's method cubes the error: a step whose cube is below rounding is the last.
    private const double LastCube = 1e-14;

    /// <summary>Fits eight replicates, as far as there are so many.</summary>
    public static void Fit(WeibullBlock block, ReplicateFits fits, ulong seed, int first)
    {
        block.Draw(seed, first);
        for (var chunk = 0; chunk < Eight; chunk += TLanes.Count)
            FitChunk(block, fits, first, chunk);
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static void FitChunk(WeibullBlock block, ReplicateFits fits, int first, int chunk)
    {
        var nearby = block.Watched.Length > 0 ? ByFailures(block, chunk) : ByTime(block, chunk);
        TLanes zero = TLanes.All(0), half = TLanes.All(0.5), two = TLanes.All(2), huge = TLanes.All(1e300);
        var mean = nearby.FailedSum / nearby.Failed;
        var u = Nearby(nearby, mean);

        // On the axis z - greatest powers cannot overflow, and u lies above -1/mean because S_1 / S_0 is below 0.
        var centred = mean - nearby.Greatest;
        var below = -(TLanes.All(1) / centred);
        var above = huge;
        u = TLanes.WhereLess(below, u, u, two * below);
        TLanes s0 = zero, s1 = zero, s2 = zero, s3 = zero, step = zero;
        for (var pass = 0; pass < MostPasses; pass++)
        {
            (s0, s1, s2, s3) = Powers(block, chunk, u, nearby.Greatest);

            // Lanes without a maximum (no failure below the greatest z) ask for no step.
            step = TLanes.WhereLess(centred, zero, Halley(u, s0, s1, s2, s3, centred), zero);
            var size = TLanes.Abs(step);
            if (!TLanes.AnyLess(TLanes.All(LastCube / 4), size * size * size))
                break;
            below = TLanes.WhereLess(zero, step, u, below);
            above = TLanes.WhereLess(step, zero, u, above);
            var next = u * TLanes.Exp(TLanes.Min(TLanes.Max(step, -two), two));
            var between = TLanes.WhereLess(above, huge, TLanes.Exp(half * (TLanes.Log(below) + TLanes.Log(above))), two * below);
            u = TLanes.WhereLess(below, next, TLanes.WhereLess(next, above, next, between), between);
        }

        var change = u * (TLanes.Exp(step) - TLanes.All(1));
        s0 += change * (s1 + half * change * s2);
        s1 += change * (s2 + half * change * s3);
        s2 += change * s3;
        u += change;
        Keep(block, fits, first + chunk, nearby, centred, u, s0, s1, s2);
    }

    /// <summary>Hazards of lives that fail or are stopped, and the sums at u = 1.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static NearbySums ByTime(WeibullBlock block, int chunk)
    {
        ref var hazards = ref MemoryMarshal.GetArrayDataReference(block.Hazards);
        ref var positions = ref MemoryMarshal.GetArrayDataReference(block.Positions);
        ref var ends = ref MemoryMarshal.GetArrayDataReference(block.Ends);
        ref var endHazards = ref MemoryMarshal.GetArrayDataReference(block.EndHazards);
        TLanes zero = TLanes.All(0), one = TLanes.All(1);
        TLanes failed = zero, failedSum = zero, greatest = TLanes.All(double.NegativeInfinity);
        TLanes s0 = zero, s1 = zero, s2 = zero, s3 = zero, s4 = zero, s5 = zero, s6 = zero, s7 = zero;
        var differ = block.EndsDiffer;
        for (var i = 0; i < block.Rows; i++)
        {
            var at = i * Eight + chunk;
            var hazard = -TLanes.Log(TLanes.Load(ref hazards, at));
            var end = differ ? TLanes.Load(ref ends, at) : TLanes.All(Unsafe.Add(ref ends, i));
            var endHazard = differ ? TLanes.Load(ref endHazards, at) : TLanes.All(Unsafe.Add(ref endHazards, i));
            var z = TLanes.WhereLess(endHazard, hazard, end, TLanes.Log(hazard));
            failed += TLanes.WhereLess(endHazard, hazard, zero, one);
            failedSum += TLanes.WhereLess(endHazard, hazard, zero, z);
            greatest = TLanes.Max(greatest, z);
            TLanes.Store(z, ref positions, at);
            var power = TLanes.Min(hazard, endHazard);
            s0 += power;
            power *= z;
            s1 += power;
            power *= z;
            s2 += power;
            power *= z;
            s3 += power;
            power *= z;
            s4 += power;
            power *= z;
            s5 += power;
            power *= z;
            s6 += power;
            s7 = TLanes.MultiplyAdd(power, z, s7);
        }

        return new(failed, failedSum, greatest, s0, s1, s2, s3, s4, s5, s6, s7);
    }

    /// <summary>
    /// The same where observation ends at a failure: the gaps of ordered exponential hazards are exponential, divided by how many are
    /// watched (Rényi 1953; Viveros and Balakrishnan 1994 where lives are withdrawn at failures).
    /// </summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static NearbySums ByFailures(WeibullBlock block, int chunk)
    {
        ref var hazards = ref MemoryMarshal.GetArrayDataReference(block.Hazards);
        ref var positions = ref MemoryMarshal.GetArrayDataReference(block.Positions);
        var zero = TLanes.All(0);
        TLanes failedSum = zero, hazard = zero, z = zero;
        TLanes s0 = zero, s1 = zero, s2 = zero, s3 = zero, s4 = zero, s5 = zero, s6 = zero, s7 = zero;
        for (var i = 0; i < block.Rows; i++)
        {
            var at = i * Eight + chunk;
            hazard = TLanes.MultiplyAdd(TLanes.All(-1 / block.Watched[i]), TLanes.Log(TLanes.Load(ref hazards, at)), hazard);
            z = TLanes.Log(hazard);
            failedSum += z;
            TLanes.Store(z, ref positions, at);
            var power = hazard * TLanes.All(block.Ending[i]);
            s0 += power;
            power *= z;
            s1 += power;
            power *= z;
            s2 += power;
            power *= z;
            s3 += power;
            power *= z;
            s4 += power;
            power *= z;
            s5 += power;
            power *= z;
            s6 += power;
            s7 = TLanes.MultiplyAdd(power, z, s7);
        }

        return new(TLanes.All(block.Rows), failedSum, z, s0, s1, s2, s3, s4, s5, s6, s7);
    }

    /// <summary>u by the series alone, or the edge of where that is trusted.</summary>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static TLanes Nearby(in NearbySums at, TLanes mean)
    {
        TLanes least = TLanes.All(1 - Reach), most = TLanes.All(1 + Reach);
        var u = TLanes.All(1);
        for (var i = 0; i < SeriesSteps; i++)
        {
            var d = u - TLanes.All(1);
            TLanes d2 = d * TLanes.All(1 / 2.0), d3 = d * TLanes.All(1 / 3.0), d4 = d * TLanes.All(1 / 4.0), d5 = d * TLanes.All(1 / 5.0);
            TLanes d6 = d * TLanes.All(1 / 6.0), d7 = d * TLanes.All(1 / 7.0);
            var s0 = at.S0 + d * (at.S1 + d2 * (at.S2 + d3 * (at.S3 + d4 * (at.S4 + d5 * (at.S5 + d6 * (at.S6 + d7 * at.S7))))));
            var s1 = at.S1 + d * (at.S2 + d2 * (at.S3 + d3 * (at.S4 + d4 * (at.S5 + d5 * (at.S6 + d6 * at.S7)))));
            var s2 = at.S2 + d * (at.S3 + d2 * (at.S4 + d3 * (at.S5 + d4 * (at.S6 + d5 * at.S7))));
            var s3 = at.S3 + d * (at.S4 + d2 * (at.S5 + d3 * (at.S6 + d4 * at.S7)));
            u *= TLanes.Exp(Halley(u, s0, s1, s2, s3, mean));
            u = TLanes.Min(TLanes.Max(u, least), most);
        }

        return u;
    }

    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    private static (TLanes S0, TLanes S1, TLanes S2, TLanes S3) Powers(WeibullBlock block, int chunk, TLanes u, TLanes greatest)
    {
        ref var positions = ref MemoryMarshal.GetArrayDataReference(block.Positions);
        var weighted = block.Ending.Length > 0;
        TLanes s0 = TLanes.All(0), s1 = s0, s2 = s0, s3 = s0;
        for (var i = 0; i < block.Rows; i++)
        {
            var y = TLanes.Load(ref positions, i * Eight + chunk) - greatest;
            var power = TLanes.Exp(u * y);
            if (weighted)
                power *= TLanes.All(block.Ending[i]);
            s0 += power;
            power *= y;
            s1 += power;
            power *= y;
            s2 += power;
            s3 = TLanes.MultiplyAdd(power, y, s3);
        }

        return (s0, s1, s2, s3);
    }

    /// <summary>Halley's step of log u for u (S_1 / S_0 - mean) = 1; Newton's where the curvature leads astray.</summary>
    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static TLanes Halley(TLanes u, TLanes s0, TLanes s1, TLanes s2, TLanes s3, TLanes mean)
    {
        TLanes one = TLanes.All(1), two = TLanes.All(2), three = TLanes.All(3);
        var inverse = one / s0;
        TLanes first = s1 * inverse, second = s2 * inverse;
        var spread = u * u * (second - first * first);
        var skew = u * u * u * (s3 * inverse - three * first * second + two * first * first * first);
        var miss = u * (first - mean) - one;
        var slope = miss + one + spread;
        var curvature = slope + two * spread + skew;
        var below = two * slope * slope - miss * curvature;
        return TLanes.WhereLess(slope * slope, below, -two * miss * slope / below, -(miss / slope));
    }

    private static void Keep(
        WeibullBlock block, ReplicateFits fits, int index, in NearbySums nearby, TLanes centred, TLanes u, TLanes s0, TLanes s1, TLanes s2)
    {
        Span<double> us = stackalloc double[Eight], failed = stackalloc double[Eight], greatest = stackalloc double[Eight];
        Span<double> p0 = stackalloc double[Eight], p1 = stackalloc double[Eight], p2 = stackalloc double[Eight], below = stackalloc double[Eight];
        TLanes.Store(u, ref us[0], 0);
        TLanes.Store(nearby.Failed, ref failed[0], 0);
        TLanes.Store(nearby.Greatest, ref greatest[0], 0);
        TLanes.Store(centred, ref below[0], 0);
        TLanes.Store(s0, ref p0[0], 0);
        TLanes.Store(s1, ref p1[0], 0);
        TLanes.Store(s2, ref p2[0], 0);
        for (var k = 0; k < TLanes.Count && index + k < fits.Count; k++)
        {
            var n = failed[k];
            var (uv, uu) = (n * p1[k] / p0[k], n / (us[k] * us[k]) + n * p2[k] / p0[k]);
            var determinant = uu * n - uv * uv;
            if (n > 0 && below[k] < 0 && determinant > 0)
                block.Carry(fits, index + k, us[k], Math.Log(n / p0[k]), greatest[k], (n / determinant, -uv / determinant, uu / determinant));
            else
                fits.SetMissing(index + k, n == 0 ? RunawayEstimate.NothingFailed : below[k] < 0 ? double.NaN : block.PositionOf(greatest[k]));
        }
    }

    /// <summary>Failures, and sums of hazards times powers of z.</summary>
    private readonly record struct NearbySums(
        TLanes Failed, TLanes FailedSum, TLanes Greatest, TLanes S0, TLanes S1, TLanes S2, TLanes S3, TLanes S4, TLanes S5, TLanes S6, TLanes S7);
}
