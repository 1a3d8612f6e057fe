using System.Globalization;
using Google.Protobuf.WellKnownTypes;
using Reliability.Benchmarks.Harness;
using Reliability.V1;

namespace Reliability.Benchmarks.Ingest;

/// <summary>
/// Events of an invented fleet that has been registered and fitted. Each load lies in time after the one before it, and has
/// ids of its own, of at most 16 characters.
/// </summary>
/// <param name="modules">How many modules it has.</param>
internal sealed class Fleet(int modules)
{
    private const string Source = "bench";
    private const double HoursPerDay = 10;

    private static readonly DateTimeOffset Start = new(2020, 1, 1, 0, 0, 0, TimeSpan.Zero);

    private int _day;
    private int _loads;

    /// <summary>How many modules it has.</summary>
    public int Modules => modules;

    /// <summary>What makes the modules known: registered, and fitted in a host.</summary>
    public IEnumerable<ModuleEvent> Opening() => Enumerable.Range(0, modules).SelectMany(module => (ModuleEvent[])
    [
        Event($"a{module}", module, Start, e => e.Registered = new() { ModuleModel = SimulatedFleet.ModuleModel, AgeHours = 0 }),
        Event($"b{module}", module, Start, e => e.Installed = new() { HostDevice = $"host-{module}", Meter = Meter.Module, ReadingHours = 0 }),
    ]);

    /// <summary>So many readings a module, one a day, day by day: neighbours are of different modules.</summary>
    public List<ModuleEvent> SpreadReadings(int each) => [.. SpreadReadingsAsTaken(each)];

    /// <summary>The same, each made when it is taken: for loads that are too many to be held. To be taken once, to the end.</summary>
    public IEnumerable<ModuleEvent> SpreadReadingsAsTaken(int each)
    {
        var load = NextLoad();
        for (var i = 0; i < each; i++, _day++)
        {
            for (var module = 0; module < modules; module++)
                yield return Reading(load, module, _day);
        }
    }

    /// <summary>The same, module by module.</summary>
    public List<ModuleEvent> GroupedReadings(int each) =>
        [.. SpreadReadings(each).Select((posted, i) => (Posted: posted, Module: i % modules)).OrderBy(pair => pair.Module).Select(pair => pair.Posted)];

    /// <summary>
    /// Readings with one more for every forty that comes late, with a time before all others of its load, and with every
    /// fortieth taken back by a further event: 5 % late or corrected.
    /// </summary>
    public List<ModuleEvent> ReadingsWithCorrections(int each)
    {
        // The days that the late ones fill are left out first.
        var late = _day++;
        var readings = SpreadReadings(each);
        var load = NextLoad();
        List<ModuleEvent> events = new(readings.Count * 21 / 20);
        for (var i = 0; i < readings.Count; i++)
        {
            var module = i % modules;
            if (i % 40 == 20 && i >= modules)
                events.Add(Reading(load, module, late, hour: i / modules));
            events.Add(readings[i]);
            if (i % 40 == 0)
            {
                events.Add(Event($"c{load}-{i:x}", module, Time(_day, 0), e => e.Retracted = new()
                {
                    TargetSource = Source,
                    TargetEventId = readings[i].EventId,
                }));
            }
        }

        return events;
    }

    /// <summary>Events that are no readings, so many a module of some of the modules: work on them and measurements.</summary>
    public List<ModuleEvent> GroupedOthers(int some, int each)
    {
        var load = NextLoad();
        List<ModuleEvent> events = new(some * each);
        for (var module = 0; module < some; module++)
        {
            for (var i = 0; i < each; i++)
                events.Add(Other(load, module, i));
        }

        _day += each;
        return events;
    }

    /// <summary>The same, day by day.</summary>
    public List<ModuleEvent> SpreadOthers(int some, int each) =>
        [.. GroupedOthers(some, each).Select((posted, i) => (Posted: posted, Day: i % each)).OrderBy(pair => pair.Day).Select(pair => pair.Posted)];

    private int NextLoad() => _loads++;

    private ModuleEvent Other(int load, int module, int i)
    {
        var hours = (_day + i) * HoursPerDay;
        return Event($"o{load}-{module:x}-{i:x}", module, Time(_day + i, 0), e =>
        {
            switch (i % 4)
            {
                case 0:
                    e.OutputMeasured = new() { Fraction = 0.9, ReadingHours = hours };
                    break;
                case 1:
                    e.Removed = new() { Reason = RemovalReason.Planned, ReadingHours = hours };
                    break;
                case 2:
                    e.Repaired = new() { Renewal = WearingPartRenewal.NotRenewed, ReadingBeforeHours = hours, ReadingAfterHours = hours };
                    break;
                default:
                    e.Installed = new() { HostDevice = $"host-{module}", Meter = Meter.Module, ReadingHours = hours };
                    break;
            }
        });
    }

    private static ModuleEvent Reading(int load, int module, int day, int hour = 0) =>
        Event($"r{load}-{day:x}-{module:x}{(hour > 0 ? "-" + hour.ToString(CultureInfo.InvariantCulture) : "")}", module, Time(day, hour),
            e => e.RunHoursRead = new() { Readings = { new MeterReading { Hours = (day * HoursPerDay) + (hour * HoursPerDay / 24) } } });

    private static DateTimeOffset Time(int day, int hour) => Start.AddDays(day + 1).AddHours(hour);

    private static ModuleEvent Event(string id, int module, DateTimeOffset time, Action<ModuleEvent> fill)
    {
        if (id.Length > 16)
            throw new InvalidOperationException($"The id {id} is longer than 16 characters.");
        var made = new ModuleEvent
        {
            EventId = id,
            Source = Source,
            Module = string.Create(CultureInfo.InvariantCulture, $"modules/bench-{module:D5}"),
            OccurTime = Timestamp.FromDateTimeOffset(time),
        };
        fill(made);
        return made;
    }
}
