namespace Reliability.Store.Readings;

/// <summary>
/// Times as differences in the largest of minutes, seconds, milliseconds and ticks that leaves nothing over: most readings
/// come in whole seconds or minutes.
/// </summary>
internal static class ReadingTime
{
    /// <summary>Where differences begin when nothing came before.</summary>
    public static readonly long Epoch = new DateTime(2020, 1, 1, 0, 0, 0, DateTimeKind.Utc).Ticks;

    private const int UnitBits = 2;
    private const int InTicks = 3;

    private static readonly long[] Units =
        [TimeSpan.TicksPerMinute, TimeSpan.TicksPerSecond, TimeSpan.TicksPerMillisecond];

    public static void Write(ByteWriter to, long ticks, long before)
    {
        var difference = ticks - before;
        for (var unit = 0; unit < Units.Length; unit++)
        {
            var (count, left) = Math.DivRem(difference, Units[unit]);
            if (left != 0) continue;
            to.Number((Zigzag.Of(count) << UnitBits) | (uint)unit);
            return;
        }
        to.Number(InTicks);
        to.Signed(difference);
    }

    /// <exception cref="InvalidDataException">There is no such time.</exception>
    public static long Read(ref ByteReader from, long before)
    {
        var code = from.Number();
        var unit = (int)(code & ((1 << UnitBits) - 1));
        var ticks = unit == InTicks
            ? (Int128)from.Signed()
            : (Int128)Zigzag.Back(code >> UnitBits) * Units[unit];
        ticks += before;
        return ticks >= DateTime.MinValue.Ticks && ticks <= DateTime.MaxValue.Ticks
            ? (long)ticks
            : throw ByteReader.Wrong("a time is out of range");
    }
}
