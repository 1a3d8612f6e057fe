using Google.Protobuf.WellKnownTypes;
using Reliability.V1;

namespace Reliability.EndToEnd.Streaming;

/// <summary>Readings of invented modules, numbered.</summary>
internal static class Readings
{
    private static readonly DateTimeOffset Start = new(2024, 1, 1, 0, 0, 0, TimeSpan.Zero);

    /// <summary>So many readings, spread over ten modules named after the source.</summary>
    public static IEnumerable<ModuleEvent> Of(string source, int count, int first = 0) =>
        Enumerable.Range(first, count).Select(i => One(source, i));

    /// <summary>The reading of a number.</summary>
    public static ModuleEvent One(string source, int i) => new()
    {
        EventId = $"r{i}",
        Source = source,
        Module = $"modules/{source}-{i % 10}",
        OccurTime = Timestamp.FromDateTimeOffset(Start.AddHours(i)),
        RunHoursRead = new() { Readings = { new MeterReading { Hours = i } } },
    };
}
