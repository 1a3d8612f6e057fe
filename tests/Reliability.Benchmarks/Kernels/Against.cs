using System.Globalization;
using Reliability.Benchmarks.Harness;

namespace Reliability.Benchmarks.Kernels;

/// <summary>A row that holds ours against R's.</summary>
internal static class Against
{
    /// <summary>R's time over ours, with both in the name; what R did not measure is no number and meets no target.</summary>
    public static Figure R(string name, string function, double other, double ours, double least) => new(
        string.Create(
            CultureInfo.InvariantCulture,
            $"{name}: {function} {(double.IsNaN(other) ? "not measured" : $"{other:#,0.##} ms")} / ours {ours:#,0.####} ms"),
        other / ours, "times", Target.Least(least));
}
