using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace Reliability.Benchmarks.Kernels;

/// <summary>The least that any fit must do: a logarithm and an exponential of each age, by the base library.</summary>
internal static class LogExp
{
    [MethodImpl(MethodImplOptions.AggressiveOptimization)]
    public static double Pass(ReadOnlySpan<double> hours)
    {
        ref var from = ref MemoryMarshal.GetReference(hours);
        double sum = 0;
        var i = 0;
        if (Vector512.IsHardwareAccelerated)
        {
            var sums = Vector512<double>.Zero;
            for (; i <= hours.Length - 8; i += 8)
                sums += Vector512.Exp(Vector512.Create(0.5) * Vector512.Log(Vector512.LoadUnsafe(ref from, (nuint)i)));
            sum = Vector512.Sum(sums);
        }
        else
        {
            var sums = Vector256<double>.Zero;
            for (; i <= hours.Length - 4; i += 4)
                sums += Vector256.Exp(Vector256.Create(0.5) * Vector256.Log(Vector256.LoadUnsafe(ref from, (nuint)i)));
            sum = Vector256.Sum(sums);
        }

        for (; i < hours.Length; i++)
            sum += Math.Exp(0.5 * Math.Log(hours[i]));
        return sum;
    }
}
