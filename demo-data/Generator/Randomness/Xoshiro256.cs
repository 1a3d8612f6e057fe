using System.Text;

namespace Reliability.DemoData.Randomness;

/// <summary>
/// The generator xoshiro256** 1.0 of Blackman and Vigna, "Scrambled Linear Pseudorandom Number Generators" (ACM
/// Transactions on Mathematical Software 47, 2021), seeded by SplitMix64 as its authors advise. It is written out here
/// because the base library does not promise that its own seeded generator stays the same.
/// </summary>
internal sealed class Xoshiro256
{
    private ulong _s0, _s1, _s2, _s3;

    /// <summary>Starts from a full state, which must not be all zero.</summary>
    public Xoshiro256(ulong s0, ulong s1, ulong s2, ulong s3)
    {
        ArgumentOutOfRangeException.ThrowIfZero(s0 | s1 | s2 | s3, nameof(s0));
        (_s0, _s1, _s2, _s3) = (s0, s1, s2, s3);
    }

    /// <summary>
    /// A stream of its own for each subject, so that a change to one part of the simulation leaves the others as they
    /// were. The subject enters by the 64-bit FNV-1a hash of its UTF-8 bytes.
    /// </summary>
    public static Xoshiro256 For(ulong seed, string subject)
    {
        var hash = 14695981039346656037UL;
        foreach (var octet in Encoding.UTF8.GetBytes(subject))
            hash = unchecked((hash ^ octet) * 1099511628211UL);
        var state = seed ^ hash;
        return new Xoshiro256(SplitMix64(ref state), SplitMix64(ref state), SplitMix64(ref state), SplitMix64(ref state));
    }

    /// <summary>The next 64 bits.</summary>
    public ulong NextBits()
    {
        unchecked
        {
            var result = ulong.RotateLeft(_s1 * 5, 7) * 9;
            var shifted = _s1 << 17;
            _s2 ^= _s0;
            _s3 ^= _s1;
            _s1 ^= _s2;
            _s0 ^= _s3;
            _s2 ^= shifted;
            _s3 = ulong.RotateLeft(_s3, 45);
            return result;
        }
    }

    /// <summary>Uniform in [0, 1), a multiple of 2^-53.</summary>
    public double NextFraction() => (NextBits() >> 11) * (1.0 / (1UL << 53));

    /// <summary>Uniform in [lower, upper).</summary>
    public double Uniform(double lower, double upper) => lower + (upper - lower) * NextFraction();

    /// <summary>Uniform among 0..count-1.</summary>
    public int Below(int count) => (int)(NextFraction() * count);

    /// <summary>True with the given probability.</summary>
    public bool Chance(double probability) => NextFraction() < probability;

    internal static ulong SplitMix64(ref ulong state)
    {
        unchecked
        {
            state += 0x9E3779B97F4A7C15UL;
            var z = state;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
            return z ^ (z >> 31);
        }
    }
}
