using Reliability.History.Events;

namespace Reliability.History.Tests.Properties;

/// <summary>A record as hospitals keep it: lives one after the other, with mistyped readings and days for instants.</summary>
internal static class PlausibleRecord
{
    public static IReadOnlyList<RecordedEvent> Of(int seed, int lives, double slips)
    {
        var random = new Random(seed);
        var events = new List<(Occurrence, EventBody)>();
        var hour = 0;
        events.Add((At(hour), new RegisteredV1 { Model = Scenario.History.Model, AgeHours = random.Next(2) * 100, ReadingHours = 100 }));
        var own = 100.0;
        for (var life = 0; life < lives; life++)
        {
            var onHost = random.Next(2) == 0;
            var meter = onHost ? random.Next(5_000) : own;
            var rate = 0.2 + (0.7 * random.NextDouble());
            hour += random.Next(1, 100);
            events.Add((Roughly(random, hour), new InstalledV1
            {
                HostDevice = $"vent-{random.Next(3)}",
                Meter = onHost ? MeterOwner.Host : MeterOwner.Module,
                ReadingHours = random.NextDouble() < slips ? null : meter,
            }));
            for (var read = random.Next(8); read > 0; read--)
            {
                var step = random.Next(24, 400);
                hour += step;
                meter += Math.Floor(step * rate);
                var shown = random.NextDouble() < slips ? meter * 10 : meter;
                events.Add((At(hour), new RunHoursReadV1 { Readings = [MeterReading.AtInstant(Time(hour), shown)] }));
            }

            hour += 50;
            meter += 20;
            if (random.Next(2) == 0)
            {
                events.Add((Roughly(random, hour), new FailedV1 { Mode = "no flow", ReadingHours = meter }));
                hour += random.Next(30);
            }

            events.Add((Roughly(random, hour), new RemovedV1
            {
                Reason = (RemovalReason)random.Next(9),
                ReadingHours = random.NextDouble() < slips ? null : meter,
            }));
            if (!onHost)
                own = meter;
            hour += random.Next(1, 60);
            events.Add((Roughly(random, hour), new RefurbishedV1
            {
                By = "Vennick Works",
                RenewsWearingPart = (RenewalStatement)random.Next(3),
            }));
        }

        return RandomRecords.Record(events);
    }

    private static DateTimeOffset Time(int hour) => Scenario.History.Origin.AddHours(hour);

    private static Occurrence At(int hour) => Occurrence.AtInstant(Time(hour));

    private static Occurrence Roughly(Random random, int hour)
    {
        var day = hour / 24;
        return random.Next(2) == 0
            ? At(hour)
            : Occurrence.OnDay(Scenario.History.Day(day), Scenario.History.Day(day + 1), "UTC");
    }
}
