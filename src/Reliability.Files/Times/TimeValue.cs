using Google.Protobuf.WellKnownTypes;

namespace Reliability.Files.Times;

/// <summary>A time as read.</summary>
/// <param name="Time">The instant; of a day its noon.</param>
/// <param name="IsDay">Whether only the day is known.</param>
public readonly record struct TimeValue(Timestamp Time, bool IsDay);
