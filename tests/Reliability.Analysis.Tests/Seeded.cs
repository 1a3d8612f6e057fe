namespace Reliability.Analysis.Tests;

/// <summary>
/// Random numbers from a seed. The framework's seeded generator gives related streams for neighbouring seeds, which shows in
/// studies over seeds 0, 1, 2...; mixing the seed first (SplitMix64, Steele, Lea and Flood 2014) takes that away.
/// </summary>
internal static class Seeded
{
    public static Random Random(int seed)
    {
        unchecked
        {
            var z = (ulong)seed + 0x9E3779B97F4A7C15UL;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
            return new Random((int)(z ^ (z >> 31)));
        }
    }
}
