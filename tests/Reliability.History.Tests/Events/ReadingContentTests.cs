using CsCheck;
using Reliability.History.Events;
using Xunit;

namespace Reliability.History.Tests.Events;

/// <summary>The hash of what a reading says: stored beside every id that was ever posted, so it must stay.</summary>
public sealed class ReadingContentTests
{
    private static readonly DateTimeOffset Noon = new(2024, 3, 9, 12, 0, 0, TimeSpan.Zero);

    private static readonly Gen<string> Texts = OneOf("", "m", "m-1", "m-11", "1", "Europe/Lisbon", "Lisbon", "ü");

    private static readonly Gen<DateTimeOffset> Instants = Gen.Int[0, 3].Select(hour => Noon.AddHours(hour));

    private static readonly Gen<MeterReading> Readings = Gen.Select(Instants, Instants, OneOf(0, 1, 1.5, 1e9)).Select(
        (earliest, latest, hours) => new MeterReading { Earliest = earliest, Latest = latest, Hours = hours });

    // From few values, so that many pairs are alike or nearly so.
    private static readonly Gen<RecordedEvent> Events = Gen.Select(
        Texts, Instants, Instants, OneOf(TimePrecision.Instant, TimePrecision.Day), Texts,
        OneOf<MeterOwner?>(null, MeterOwner.Module, MeterOwner.Host), Readings.Array[0, 3],
        (module, earliest, latest, precision, zone, meter, readings) => new RecordedEvent
        {
            EventId = Guid.Empty,
            OriginalId = "",
            Source = "",
            ModuleId = module,
            Occurrence = new() { Earliest = earliest, Latest = latest, Precision = precision, Zone = zone.Length == 0 ? null : zone },
            Body = new RunHoursReadV1 { Meter = meter, Readings = readings },
        });

    [Fact]
    public void A_hash_once_given_stays()
    {
        // Made outside this code, by hashlib of Python 3.11 from the form that EventContent.Hash describes.
        Assert.Equal(
            "8bd651db9e21bf6d71815db379fe6ba6de73e35b398def3ca1cf1352ae9bd007",
            Convert.ToHexStringLower(EventContent.Hash(Read("lamp-7", null, MeterReading.AtInstant(Noon, 1234.5)))));
        Assert.Equal(
            "2cdc82c0673d0bd48b85b4152d117e5dba97cf0056701f40ec12806501e0e713",
            Convert.ToHexStringLower(EventContent.Hash(Read(
                "lamp-7", MeterOwner.Host, MeterReading.AtInstant(Noon, 1234.5), MeterReading.AtInstant(Noon.AddHours(1), 1235)) with
            {
                Occurrence = Occurrence.OnDay(Noon.AddHours(-12), Noon.AddHours(12), "Europe/Lisbon"),
            })));
    }

    [Fact]
    public void Two_readings_have_one_hash_only_when_they_say_the_same() => Gen.Select(Events, Events).Sample(
        (one, other) => Assert.Equal(
            Said(one).SequenceEqual(Said(other)), EventContent.Hash(one).AsSpan().SequenceEqual(EventContent.Hash(other))),
        iter: 20_000);

    [Fact]
    public void A_thousand_readings_of_a_long_name_are_hashed_whole()
    {
        var many = Enumerable.Range(0, 1_000).Select(i => MeterReading.AtInstant(Noon.AddHours(i), i)).ToArray();
        var other = many[..^1].Append(many[^1] with { Hours = 999.5 }).ToArray();
        var name = new string('x', 2_000);

        Assert.NotEqual(EventContent.Hash(Read(name, null, many)), EventContent.Hash(Read(name, null, other)));
        Assert.Equal(EventContent.Hash(Read(name, null, many)), EventContent.Hash(Read(name, null, [.. many])));
    }

    [Fact]
    public void A_reading_and_another_kind_of_event_never_look_alike() => Assert.NotEqual(
        EventContent.Hash(Read("m", null)),
        EventContent.Hash(Read("m", null) with { Body = new MeterChangedV1() }));

    private static Gen<T> OneOf<T>(params T[] values) => Gen.Int[0, values.Length - 1].Select(i => values[i]);

    private static IEnumerable<object?> Said(RecordedEvent recorded)
    {
        var read = (RunHoursReadV1)recorded.Body;
        return [recorded.ModuleId, recorded.Occurrence, read.Meter, .. read.Readings];
    }

    private static RecordedEvent Read(string module, MeterOwner? meter, params MeterReading[] readings) => new()
    {
        EventId = Guid.Empty,
        OriginalId = "",
        Source = "",
        ModuleId = module,
        Occurrence = Occurrence.AtInstant(Noon),
        Body = new RunHoursReadV1 { Meter = meter, Readings = readings },
    };
}
