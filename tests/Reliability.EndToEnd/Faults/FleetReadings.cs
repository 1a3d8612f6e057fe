using Google.Protobuf.WellKnownTypes;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults;

/// <summary>Pump drives of the invented network whose meters are read every day: the bulk of what devices post.</summary>
internal static class FleetReadings
{
    private const int Modules = 100, Days = 60;
    private const double HoursADay = 11.5;

    private static readonly DateTime First = new(2025, 9, 1, 6, 0, 0, DateTimeKind.Utc);

    /// <summary>All events, day by day.</summary>
    public static IEnumerable<ModuleEvent> Read()
    {
        for (var module = 0; module < Modules; module++)
        {
            yield return At(module, 0, "registered", e => e.Registered = new Registered
            {
                ModuleModel = "moduleModels/infusion-drive",
                AgeHours = 0,
            });
            yield return At(module, 0, "installed", e => e.Installed = new Installed
            {
                HostDevice = $"dunmarrow-pump-{module}",
                Site = "Dunmarrow Infirmary",
                ReadingHours = 0,
                Meter = Meter.Module,
            });
        }

        for (var day = 1; day <= Days; day++)
        {
            for (var module = 0; module < Modules; module++)
            {
                var hours = Math.Round((day * HoursADay) + (module * 0.01), 2);
                yield return At(module, day, "read", e => e.RunHoursRead = new RunHoursRead
                {
                    Meter = Meter.Module,
                    Readings = { new MeterReading { Hours = hours } },
                });
            }
        }
    }

    private static ModuleEvent At(int module, int day, string what, Action<ModuleEvent> fill)
    {
        var posted = new ModuleEvent
        {
            EventId = $"fleet-{module}-{what}-{day}",
            Source = "dunmarrow-devices",
            Module = $"modules/dunmarrow-drive-{module}",
            OccurTime = Timestamp.FromDateTime(First.AddDays(day).AddMinutes(module)),
        };
        fill(posted);
        return posted;
    }
}
