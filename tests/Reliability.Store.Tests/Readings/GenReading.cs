using CsCheck;
using Reliability.History.Events;

namespace Reliability.Store.Tests.Readings;

/// <summary>Events of readings as the rules of the domain allow them: every field in every way, the odd ones often.</summary>
internal static class GenReading
{
    private static readonly Gen<DateTimeOffset> Time = Gen.Frequency(
        (6, Gen.Int[0, 200_000].Select(minute => Scenario.Start.AddMinutes(minute))),
        (3, Gen.Int[0, 1_000_000_000].Select(ms => Scenario.Start.AddMilliseconds(ms))),
        (1, Gen.Long[DateTime.MinValue.Ticks, DateTime.MaxValue.Ticks].Select(ticks => new DateTimeOffset(ticks, TimeSpan.Zero))));

    private static readonly Gen<double> Hours = Gen.Frequency(
        (3, Gen.Int[0, 60_000].Select(hours => (double)hours)),
        (3, Gen.Int[0, 60_000_000].Select(hours => hours / 1000.0)),
        (1, Gen.Double[0, 1e9]),
        (1, Gen.OneOf(0.0, 0.1, 1.0 / 3, 1e9, double.Epsilon, 123456.78999999999)));

    private static readonly Gen<string> Id = Gen.Frequency(
        (4, Gen.Int[0, 5000].Select(n => $"reading-{n:00000}")),
        (2, Gen.Guid.Select(id => id.ToString("D"))),
        (1, Gen.Guid.Select(id => id.ToString("D").ToUpperInvariant())),
        // What a lenient parser takes for UUIDs, and writes back otherwise.
        (1, Gen.Select(Gen.Guid, Gen.OneOf("0x", "+", "0X"), Gen.OneOf(0, 9, 14, 19), (id, sign, at) =>
            id.ToString("D").Remove(at, sign.Length).Insert(at, sign))),
        (2, Gen.OneOf(Gen.Char['a', 'z'], Gen.Char['\u00e0', '\u024f'], Gen.OneOf('-', '.', '/', '\u6c34')).Array[1, 200]
            .Select(letters => new string(letters))),
        (1, Gen.Int[1, 100].Select(n => string.Concat(Enumerable.Repeat("\U0001F4A1", n)))));

    private static readonly Gen<string> Key = Gen.Frequency(
        (5, Gen.Int[0, 12].Select(n => $"m-{n:0000}")),
        (1, Gen.Int[0, 5].Select(n => $"host/ventilator-{n}")),
        (1, Gen.Char['a', 'z'].Array[1, 63].Select(letters => new string(letters))));

    private static readonly Gen<Occurrence> Occurrence = Gen.Frequency(
        (4, Time.Select(Reliability.History.Events.Occurrence.AtInstant)),
        (2, Gen.Select(Gen.Int[0, 4000], Gen.OneOf("Europe/Berlin", "UTC", "America/Sao_Paulo"), (day, zone) =>
            Reliability.History.Events.Occurrence.OnDay(
                Scenario.Start.AddDays(day).AddHours(-9), Scenario.Start.AddDays(day).AddHours(day % 90 == 0 ? 14 : 15), zone))));

    private static readonly Gen<MeterReading> Reading = Gen.Frequency(
        (3, Gen.Select(Time, Hours, MeterReading.AtInstant)),
        (1, Gen.Select(Time, Time, Hours, (one, other, hours) => new MeterReading
        {
            Earliest = one < other ? one : other,
            Latest = one < other ? other : one,
            Hours = hours,
        })));

    /// <summary>One event.</summary>
    public static Gen<RecordedEvent> Event { get; } =
        from key in Key
        from id in Id
        from source in Gen.OneOf("quennick-general", "orrowby", "dunmarrow-lakeside")
        from actor in Gen.OneOf<string?>(null, null, "actor-3", "actor-4")
        from occurrence in Occurrence
        from meter in Gen.OneOf<MeterOwner?>(null, MeterOwner.Module, MeterOwner.Host)
        from readings in Gen.Frequency(
            (3, Hours.Select(hours => new[]
            {
                new MeterReading { Earliest = occurrence.Earliest, Latest = occurrence.Latest, Hours = hours },
            })),
            (1, Reading.Array[0, 12]))
        select new RecordedEvent
        {
            EventId = EventIdentity.EventId(ReliabilityStore.DefaultOrganisation, source, id),
            OriginalId = id,
            Source = source,
            ModuleId = key,
            Occurrence = occurrence,
            ActorId = actor,
            Body = new RunHoursReadV1 { Meter = meter, Readings = readings },
        };
}
