using Reliability.EndToEnd.Running;
using Reliability.V1;
using static Reliability.EndToEnd.Records.Posting;

namespace Reliability.EndToEnd.Records;

/// <summary>A small fleet of one module model, posted by one source.</summary>
internal static class PostedFleet
{
    private static readonly double[] Failures = [420, 610, 760, 880, 950, 1040, 1130, 1260, 1390, 1520];

    /// <summary>Ten modules that failed at known ages and one in service at 900 h, ten hours a day.</summary>
    /// <returns>The revision that has it in.</returns>
    public static async Task<string> PostAsync(ServiceClients clients, string source)
    {
        await ModelAsync(clients, source, 2000);
        var posting = new Posting(clients, source);
        var events = new List<ModuleEvent>();
        for (var i = 0; i < Failures.Length; i++)
        {
            var (hours, module) = (Failures[i], $"modules/{source}-{i}");
            events.AddRange(Installed(posting, module, source));
            events.Add(posting.Event($"{module}-f", module, Time(2024, 3, 20), e => e.Failed = new() { ReadingHours = hours, Moment = FailureMoment.Failure, FailureMode = "no light" }));
            events.Add(posting.Event($"{module}-r", module, Time(2024, 3, 21), e => e.Removed = new() { ReadingHours = hours, Reason = RemovalReason.Failed }));
        }

        var live = $"modules/{source}-live";
        events.AddRange(Installed(posting, live, source));
        foreach (var (month, hours) in new[] { (2, 310), (3, 600), (4, 905) })
            events.Add(posting.Event($"{live}-{month}", live, Time(2024, month, 1), e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = hours } } }));
        return (await posting.ReceiptsAsync(events))[^1].Revision;
    }

    private static IEnumerable<ModuleEvent> Installed(Posting posting, string module, string source) =>
    [
        posting.Event($"{module}-a", module, Time(2024, 1, 1), e => e.Registered = new() { ModuleModel = "moduleModels/" + source, AgeHours = 0, ReadingHours = 0 }),
        posting.Event($"{module}-b", module, Time(2024, 1, 1), e => e.Installed = new() { HostDevice = module + "-h", ReadingHours = 0 }),
    ];
}
