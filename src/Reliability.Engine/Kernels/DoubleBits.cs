namespace Reliability.Engine.Kernels;

/// <summary>The parts of a double (IEEE 754) that lanes take apart.</summary>
internal static class DoubleBits
{
    public const int FractionLength = 52;

    /// <summary>What stands in the exponent's place for 2^0.</summary>
    public const long Bias = 1023;

    /// <summary>Added to the bits of x, the exponent's place then holds that of x / sqrt(1/2), biased.</summary>
    public const long ToExponent = (Bias << FractionLength) - 0x3FE6A09E667F3BCD;

    /// <summary>2^52: a whole number put into the fraction's place of its bits is the number that it then exceeds it by.</summary>
    public const double Whole = 1L << FractionLength;

    /// <summary>Its bits.</summary>
    public const long OfWhole = 0x4330000000000000;
}
