using System.Numerics;

namespace Reliability.Engine.Resampling;

/// <summary>
/// The random numbers of one replicate: xoshiro256++ (Blackman and Vigna, ACM TOMS 47, 2021), begun from a hash of the seed and of the
/// replicate's number (SplitMix64; Steele, Lea and Flood 2014). A replicate has the same numbers whichever thread draws them.
/// </summary>
internal struct ReplicateStream
{
    private ulong _a, _b, _c, _d;

    /// <summary>Begins the numbers of a replicate.</summary>
    /// <param name="seed">The seed of the whole.</param>
    /// <param name="replicate">The replicate's number.</param>
    /// <param name="purpose">What they are for: streams of different purposes have nothing to do with each other.</param>
    public ReplicateStream(ulong seed, int replicate, uint purpose = 0)
    {
        const ulong Golden = 0x9E3779B97F4A7C15;
        var state = Mixed(unchecked(seed + Golden)) ^ Mixed(unchecked((((ulong)purpose << 32) | (uint)replicate) + 2 * Golden));
        _a = Mixed(unchecked(state += Golden));
        _b = Mixed(unchecked(state += Golden));
        _c = Mixed(unchecked(state += Golden));
        _d = Mixed(unchecked(state + Golden));
    }

    /// <summary>The state, for those who go on with several at once.</summary>
    public readonly (ulong A, ulong B, ulong C, ulong D) State => (_a, _b, _c, _d);

    /// <summary>A number from the inside of (0, 1): an odd multiple of 2^-53.</summary>
    public double Next()
    {
        var bits = unchecked(BitOperations.RotateLeft(_a + _d, 23) + _a);
        var shifted = _b << 17;
        _c ^= _a;
        _d ^= _b;
        _b ^= _c;
        _a ^= _d;
        _c ^= shifted;
        _d = BitOperations.RotateLeft(_d, 45);
        return (2 * (bits >> 12) + 1) * (1.0 / (1UL << 53));
    }

    private static ulong Mixed(ulong z)
    {
        z = unchecked((z ^ (z >> 30)) * 0xBF58476D1CE4E5B9);
        z = unchecked((z ^ (z >> 27)) * 0x94D049BB133111EB);
        return z ^ (z >> 31);
    }
}
