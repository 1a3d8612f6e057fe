using Google.Protobuf.WellKnownTypes;
using Reliability.Benchmarks.Harness;
using Reliability.V1;

namespace Reliability.Benchmarks.Rebuild;

/// <summary>Modules in service whose meters are read every day: nearly all of their record is readings.</summary>
internal static class ReadFleet
{
    private const double HoursADay = 9.5;

    private static readonly DateTime First = new(2025, 1, 1, 6, 0, 0, DateTimeKind.Utc);

    /// <summary>The registration and the install of modules.</summary>
    public static IEnumerable<ModuleEvent> Installs(string prefix, int modules)
    {
        for (var module = 0; module < modules; module++)
        {
            yield return At(prefix, module, 0, "registered", e => e.Registered = new Registered
            {
                ModuleModel = SimulatedFleet.ModuleModel,
                AgeHours = 0,
            });
            yield return At(prefix, module, 0, "installed", e => e.Installed = new Installed
            {
                HostDevice = "host-" + prefix + module,
                Site = "Invented",
                ReadingHours = 0,
                Meter = Meter.Module,
            });
        }
    }

    /// <summary>One reading of each module on each of some days, day by day.</summary>
    public static IEnumerable<ModuleEvent> Readings(string prefix, int modules, int firstDay, int days) =>
        from day in Enumerable.Range(firstDay, days)
        from module in Enumerable.Range(0, modules)
        select Reading(prefix, module, day);

    /// <summary>The reading of a module on a day, counted from 1.</summary>
    public static ModuleEvent Reading(string prefix, int module, int day) => At(prefix, module, day, "read", e => e.RunHoursRead = new RunHoursRead
    {
        Meter = Meter.Module,
        Readings = { new MeterReading { Hours = Math.Round((day * HoursADay) + (module % 100 * 0.01), 2) } },
    });

    private static ModuleEvent At(string prefix, int module, int day, string what, Action<ModuleEvent> fill)
    {
        var posted = new ModuleEvent
        {
            EventId = $"{prefix}{module}-{what}-{day}",
            Source = "benchmark",
            Module = $"modules/{prefix}{module}",
            OccurTime = Timestamp.FromDateTime(First.AddDays(day).AddSeconds(module % 3600)),
        };
        fill(posted);
        return posted;
    }
}
