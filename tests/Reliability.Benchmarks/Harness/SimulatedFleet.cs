using Google.Protobuf.WellKnownTypes;
using Reliability.V1;

namespace Reliability.Benchmarks.Harness;

/// <summary>Records of an invented fleet, seeded: each module is registered, installed and read, and some fail or are removed.</summary>
internal static class SimulatedFleet
{
    public const string ModuleModel = "moduleModels/benchmark-lamp";

    /// <summary>The instant at which the records end.</summary>
    public static readonly DateTimeOffset End = new(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);

    // Weibull lives of shape 2 and scale 1,000 h, run 10 h a day, read every 10 days, rated 1,200 h.
    private const double Scale = 1_000, HoursPerDay = 10, RatedHours = 1_200;
    private const int DaysBetweenReadings = 10;

    public static CreateModuleModelRequest Model => new()
    {
        ModuleModelId = "benchmark-lamp",
        ModuleModel = new ModuleModel { DisplayName = "Invented lamp", RatedLives = { new RatedLife { RatedHours = RatedHours } } },
    };

    /// <summary>The events of a number of modules, module by module.</summary>
    /// <param name="modules">How many.</param>
    /// <param name="seed">The seed.</param>
    public static List<ModuleEvent> Events(int modules, int seed)
    {
        var random = new Random(seed);
        List<ModuleEvent> events = [];
        for (var module = 0; module < modules; module++)
            AddModule(events, $"bench-{seed}-{module}", random);
        return events;
    }

    private static void AddModule(List<ModuleEvent> events, string id, Random random)
    {
        var age = Scale * Math.Sqrt(-Math.Log(1 - random.NextDouble()));
        var start = End.AddDays(-20 - (180 * random.NextDouble()));
        var number = 0;
        Add(start, e => e.Registered = new Registered { ModuleModel = ModuleModel, AgeHours = 0 });
        Add(start, e => e.Installed = new Installed { HostDevice = "host-" + id, Site = "Invented", ReadingHours = 0, Meter = Meter.Module });
        for (var time = start.AddDays(DaysBetweenReadings); time < End; time = time.AddDays(DaysBetweenReadings))
        {
            var hours = (time - start).TotalDays * HoursPerDay;
            if (hours >= Math.Min(age, RatedHours))
            {
                if (age < RatedHours)
                    Add(time, e => e.Failed = new Failed { Moment = FailureMoment.Failure, ReadingHours = age, FailureMode = "no light" });
                Add(time, e => e.Removed = new Removed
                {
                    Reason = age < RatedHours ? RemovalReason.Failed : RemovalReason.RatedHoursReached,
                    ReadingHours = Math.Min(age, hours),
                });
                return;
            }

            Add(time, e => e.RunHoursRead = new RunHoursRead { Meter = Meter.Module, Readings = { new MeterReading { Hours = hours } } });
        }

        void Add(DateTimeOffset time, Action<ModuleEvent> fill)
        {
            var added = new ModuleEvent
            {
                EventId = $"{id}-{number++}",
                Source = "benchmark",
                Module = "modules/" + id,
                OccurTime = Timestamp.FromDateTimeOffset(time),
            };
            fill(added);
            events.Add(added);
        }
    }
}
