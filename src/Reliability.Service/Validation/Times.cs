using Google.Protobuf.WellKnownTypes;

namespace Reliability.Service.Validation;

/// <summary>What a time on the wire must be.</summary>
internal static class Times
{
    private const long FirstSecond = -62_135_596_800, LastSecond = 253_402_300_799;

    /// <summary>The rule in words.</summary>
    public const string Rule = "must be a time between years 1 and 9999, with nanos between 0 and 999999999";

    /// <summary>Whether the time is one of the calendar (google/protobuf/timestamp.proto).</summary>
    public static bool IsValid(Timestamp time) =>
        time.Seconds is >= FirstSecond and <= LastSecond && time.Nanos is >= 0 and <= 999_999_999;
}
