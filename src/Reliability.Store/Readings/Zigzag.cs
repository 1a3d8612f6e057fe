namespace Reliability.Store.Readings;

/// <summary>Numbers of either sign as numbers without one, small ones staying small: 0, -1, 1, -2, 2, ...</summary>
internal static class Zigzag
{
    public static ulong Of(long value) => unchecked((ulong)((value << 1) ^ (value >> 63)));

    public static long Back(ulong value) => unchecked((long)(value >> 1) ^ -(long)(value & 1));
}
