using Reliability.DemoData.Randomness;
using Reliability.DemoData.Scenario;

namespace Reliability.DemoData.Simulation;

/// <summary>
/// Runs the positions that one hospital has for one family from the first day to the last: fit a module, wait for its end,
/// fit the next. Planned ends, rounds and ways of noticing are drawn without regard to when a module would fail, so that
/// survivors are like the others.
/// </summary>
internal sealed class FleetSimulation
{
    // The shortest life drawn: a tenth of an hour is what meters show.
    private const double LeastHours = 0.2;
    private const int ReplacementMinutes = 45;
    private readonly Network _network;
    private readonly Hospital _hospital;
    private readonly Family _family;
    private readonly Xoshiro256 _random;
    private readonly PriorityQueue<ModuleUnit, (int Ready, string Id)> _shelf = new();
    private int _modules;

    private FleetSimulation(Network network, Hospital hospital, Family family, ulong seed)
    {
        _network = network;
        _hospital = hospital;
        _family = family;
        _random = Xoshiro256.For(seed, $"{hospital.Key}/{family.ModelId}");
    }

    /// <summary>All lives of the network, unrecorded ones included, in order of hospital, family and start.</summary>
    public static IReadOnlyList<ServiceLife> Run(Network network, ulong seed) =>
    [
        .. from hospital in network.Hospitals
           from family in network.Families
           from life in new FleetSimulation(network, hospital, family, seed).Lives()
           select life,
    ];

    private IEnumerable<ServiceLife> Lives()
    {
        var free = new PriorityQueue<Position, (int Minute, string Host)>();
        for (var number = 1; number <= _hospital.Positions[_family.ModelId]; number++)
        {
            var position = new Position(_network, _hospital, _family, number, _random);
            free.Enqueue(position, (position.EntersService, position.HostDevice));
        }

        while (free.TryDequeue(out var position, out var next))
        {
            if (next.Minute >= position.LastRound)
                continue;
            var life = Live(position, next.Minute);
            yield return life;
            if (life.Removal is { } removal)
                free.Enqueue(position, (removal + ReplacementMinutes, position.HostDevice));
        }
    }

    private ServiceLife Live(Position position, int start)
    {
        var module = TakeModule(start);
        var trueHours = Math.Max(LeastHours, _family.TruthFor(module.RefurbishmentCount).Draw(_random));
        var mode = DrawMode();
        var (plannedHours, plannedEnd) = DrawPlannedEnd();

        var startHours = position.Usage.HoursAt(start);
        var failure = position.Usage.MinuteReaching(startHours + trueHours);
        var planned = InWorkingHoursBefore(position.Usage.MinuteReaching(startHours + plannedHours), start);
        var (end, outcome) = End(position, failure, planned, mode, plannedEnd);
        var life = new ServiceLife
        {
            Module = module,
            Hospital = _hospital,
            Position = position,
            RefurbishmentCount = module.RefurbishmentCount,
            Refurbisher = module.Refurbisher,
            OwnMeterAtStart = module.OwnMeterHours,
            Start = start,
            End = end,
            Outcome = outcome,
            TrueHours = trueHours,
            Mode = mode,
            Removal = RemovalAfter(end, outcome, position),
        };
        module.OwnMeterHours = Math.Round(module.OwnMeterHours + life.AgeAt(end), 1);
        if (life.Removal is not null)
            SendOn(life);
        return life;
    }

    private static (int End, LifeEnd Outcome) End(
        Position position, int failure, int planned, FailureMode mode, LifeEnd plannedEnd)
    {
        var last = position.LastRound;
        if (failure >= planned)
            return planned <= last ? (planned, plannedEnd) : (last, LifeEnd.InService);
        if (failure > last)
            return (last, LifeEnd.InService);
        if (mode.FoundAtOnce)
            return (failure, LifeEnd.FailedAtOnce);
        return (Math.Min(position.NextRound(failure), planned), LifeEnd.FoundFailed);
    }

    // What failed at once is changed the next morning, the rest when it is found or due.
    private static int? RemovalAfter(int end, LifeEnd outcome, Position position)
    {
        if (outcome == LifeEnd.InService)
            return null;
        var removal = outcome switch
        {
            LifeEnd.FailedAtOnce => (end / UsageCalendar.DayMinutes + 1) * UsageCalendar.DayMinutes + 9 * 60 + 20,
            LifeEnd.FoundFailed => end + 30,
            _ => end,
        };
        return removal <= position.LastRound + 60 ? removal : null;
    }

    private (double Hours, LifeEnd Outcome) DrawPlannedEnd()
    {
        var (least, most) = _network.PlannedShareOfRatedHours;
        var hours = _family.RatedHours * _random.Uniform(least, most);
        return _random.Chance(_network.EarlyRemovalShare)
            ? (hours * _random.Uniform(0.15, 0.95), _random.Chance(0.5) ? LifeEnd.Planned : LifeEnd.Upgraded)
            : (hours, LifeEnd.RatedHours);
    }

    private FailureMode DrawMode()
    {
        var share = _random.NextFraction();
        foreach (var mode in _family.Modes)
        {
            if (share < mode.Share)
                return mode;
            share -= mode.Share;
        }
        return _family.Modes[^1];
    }

    // Planned work is done between 9 and 15 o'clock, before the hours are reached.
    private int InWorkingHoursBefore(int minute, int start)
    {
        var timeOfDay = 9 * 60 + _random.Below(6 * 60);
        if (minute == UsageCalendar.Never)
            return minute;
        var day = minute / UsageCalendar.DayMinutes;
        var planned = day * UsageCalendar.DayMinutes + timeOfDay;
        if (planned > minute)
            planned -= UsageCalendar.DayMinutes;
        return Math.Max(planned, start + UsageCalendar.DayMinutes);
    }

    private ModuleUnit TakeModule(int minute)
    {
        if (_shelf.TryPeek(out _, out var first) && first.Ready <= minute)
            return _shelf.Dequeue();
        _modules++;
        var serial = $"{_family.PartNumber}-{_hospital.Key[..1].ToUpperInvariant()}{_modules:0000}";
        var year = _network.FirstDay.AddDays(minute / UsageCalendar.DayMinutes).Year;
        return new ModuleUnit(_family, $"{_hospital.Key}-{_family.Prefix}-{_modules:000}", serial, $"{_family.Prefix}-{year}");
    }

    // What was removed is refurbished, at most twice, or goes out of use. What is still away on the last day is neither.
    private void SendOn(ServiceLife life)
    {
        var goes = _random.Chance(_family.RefurbishShare);
        var refurbisher = _network.Refurbishers[_random.Below(_network.Refurbishers.Count)];
        var days = 25 + _random.Below(35);
        var removalDay = life.Removal!.Value / UsageCalendar.DayMinutes;
        var module = life.Module;
        if (!goes || life.Outcome == LifeEnd.Upgraded || module.RefurbishmentCount == 2)
        {
            life.RetiredAt = Recorded(NoonOf(removalDay + 1));
            return;
        }
        life.RefurbishedAt = Recorded(NoonOf(removalDay + days));
        if (life.RefurbishedAt is not { } back)
            return;
        life.NextRefurbisher = module.Refurbisher = refurbisher;
        module.RefurbishmentCount++;
        _shelf.Enqueue(module, (back, module.Id));

        int? Recorded(int minute) => minute < life.Position.LastRound ? minute : null;
    }

    private static int NoonOf(int day) => day * UsageCalendar.DayMinutes + 12 * 60;
}
