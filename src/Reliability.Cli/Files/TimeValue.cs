using Google.Protobuf.WellKnownTypes;

namespace Reliability.Cli.Files;

/// <summary>A time as read.</summary>
/// <param name="Time">The instant; of a day its noon.</param>
/// <param name="IsDay">Whether only the day is known.</param>
internal readonly record struct TimeValue(Timestamp Time, bool IsDay);
