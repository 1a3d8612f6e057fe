using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Reliability.Engine.Resampling;

/// <summary>The numbers of eight replicates side by side, the same that <see cref="ReplicateStream"/> gives each.</summary>
internal static class EightStreams
{
    /// <summary>How many replicates.</summary>
    public const int Count = 8;

    // A double of [1, 2) less this is an odd multiple of 2^-53 in (0, 1).
    private const double AlmostOne = 1 - 1.0 / (1UL << 53);

    /// <summary>Fills rows of eight numbers, one for each replicate.</summary>
    /// <param name="target">Takes the numbers; its length is a multiple of eight.</param>
    /// <param name="seed">The seed of the whole.</param>
    /// <param name="first">Number of the first replicate.</param>
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static void Fill(Span<double> target, ulong seed, int first)
    {
        Span<ulong> states = stackalloc ulong[4 * Count];
        for (var k = 0; k < Count; k++)
            (states[k], states[Count + k], states[2 * Count + k], states[3 * Count + k]) = new ReplicateStream(seed, first + k).State;
        ref var from = ref MemoryMarshal.GetReference(states);
        ref var to = ref MemoryMarshal.GetReference(target);
        Vector256<ulong> a0 = Load(ref from, 0), b0 = Load(ref from, 8), c0 = Load(ref from, 16), d0 = Load(ref from, 24);
        Vector256<ulong> a1 = Load(ref from, 4), b1 = Load(ref from, 12), c1 = Load(ref from, 20), d1 = Load(ref from, 28);
        for (var i = 0; i <= target.Length - Count; i += Count)
        {
            Next(ref a0, ref b0, ref c0, ref d0).StoreUnsafe(ref to, (nuint)i);
            Next(ref a1, ref b1, ref c1, ref d1).StoreUnsafe(ref to, (nuint)(i + 4));
        }
    }

    private static Vector256<ulong> Load(ref ulong from, int index) => Vector256.LoadUnsafe(ref from, (nuint)index);

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<double> Next(ref Vector256<ulong> a, ref Vector256<ulong> b, ref Vector256<ulong> c, ref Vector256<ulong> d)
    {
        var bits = Rotated(a + d, 23) + a;
        var shifted = b << 17;
        c ^= a;
        d ^= b;
        b ^= c;
        a ^= d;
        c ^= shifted;
        d = Rotated(d, 45);
        var oneToTwo = ((bits >>> 12) | Vector256.Create(0x3FF0000000000000UL)).AsDouble();
        return oneToTwo - Vector256.Create(AlmostOne);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector256<ulong> Rotated(Vector256<ulong> value, int by) => (value << by) | (value >>> (64 - by));
}
