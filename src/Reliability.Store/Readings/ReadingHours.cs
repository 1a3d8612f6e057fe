namespace Reliability.Store.Readings;

/// <summary>
/// Hours as a whole number of hours, tenths, hundredths or thousandths where that gives the very same number back, else as
/// the eight bytes of the number.
/// </summary>
internal static class ReadingHours
{
    private const ulong Forms = 5;
    private const ulong Raw = 4;

    private static readonly double[] Scales = [1, 10, 100, 1000];

    public static void Write(ByteWriter to, double hours)
    {
        for (var form = 0; form < Scales.Length; form++)
        {
            var scaled = Math.Round(hours * Scales[form]);
            if (scaled is not (>= 0 and < 1L << 50)) break;
            if (BitConverter.DoubleToInt64Bits((long)scaled / Scales[form]) != BitConverter.DoubleToInt64Bits(hours))
                continue;
            to.Number(((ulong)scaled * Forms) + (ulong)form);
            return;
        }
        to.Number(Raw);
        to.Double(hours);
    }

    /// <exception cref="InvalidDataException">The bytes are none of the forms.</exception>
    public static double Read(ref ByteReader from)
    {
        var (scaled, form) = Math.DivRem(from.Number(), Forms);
        if (form < Raw) return scaled / Scales[form];
        return scaled == 0 ? from.Double() : throw ByteReader.Wrong("hours are in no known form");
    }
}
