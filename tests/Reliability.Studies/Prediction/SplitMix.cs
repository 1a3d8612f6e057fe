namespace Reliability.Studies.Prediction;

/// <summary>SplitMix64 (Steele, Lea and Flood, OOPSLA 2014): a stream a seed.</summary>
internal sealed class SplitMix(ulong seed)
{
    private ulong _state = seed;

    /// <summary>An even number above 0 and below 1.</summary>
    public double Next()
    {
        unchecked
        {
            var z = _state += 0x9E3779B97F4A7C15;
            z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
            z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
            return (((z ^ (z >> 31)) >> 11) + 0.5) * (1.0 / (1UL << 53));
        }
    }
}
