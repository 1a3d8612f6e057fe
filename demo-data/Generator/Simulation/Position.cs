using Reliability.DemoData.Randomness;
using Reliability.DemoData.Scenario;

namespace Reliability.DemoData.Simulation;

/// <summary>A position in a host device: where one module after another is fitted, with its rounds and its hour meter.</summary>
internal sealed class Position
{
    private readonly int _roundDays;
    private readonly int _firstRoundDay;
    private readonly int _roundMinuteOfDay;
    private readonly int _lastDay;
    private readonly double _meterOffset;

    /// <summary>Draws the position number <paramref name="number"/> (from 1) of a hospital for a family.</summary>
    public Position(Network network, Hospital hospital, Family family, int number, Xoshiro256 random)
    {
        _lastDay = network.LastDay.DayNumber - network.FirstDay.DayNumber;
        _roundDays = family.RoundDays;
        _firstRoundDay = hospital.Key.Length % family.RoundDays;
        _roundMinuteOfDay = 8 * 60 + number * 7 % (8 * 60);
        HostDevice = $"{hospital.Key}-{family.Prefix}-host-{number:00}";
        Usage = new UsageCalendar(_lastDay + 1, family.HoursPerDay, random);
        LastRound = MinuteOfRound(_lastDay);
        RecordStart = MinuteOfRound(hospital.RecordStart.DayNumber - network.FirstDay.DayNumber);
        // Hosts enter service over the first three years.
        EntersService = MinuteOfRound(random.Below(3 * 365));
        _meterOffset = Math.Round(random.Uniform(0, 4_000), 1);
        MeterChange = random.Chance(family.HasOwnMeter ? 0 : network.MeterChangeShare)
            ? NextRound(random.Below(LastRound)) + 10
            : UsageCalendar.Never;
    }

    /// <summary>The host device's id.</summary>
    public string HostDevice { get; }

    /// <summary>The hours it runs.</summary>
    public UsageCalendar Usage { get; }

    /// <summary>When the first module is fitted.</summary>
    public int EntersService { get; }

    /// <summary>When its hospital looks at it for the first time and begins to record it.</summary>
    public int RecordStart { get; }

    /// <summary>The round on the network's last day. Nothing later is recorded of this position.</summary>
    public int LastRound { get; }

    /// <summary>When the host's meter is changed for one that starts at 0, shortly after a round.</summary>
    public int MeterChange { get; }

    /// <summary>The first round at or after a minute; the last round and the start of the record are rounds too.</summary>
    public int NextRound(int minute)
    {
        var day = Math.DivRem(minute, UsageCalendar.DayMinutes, out var rest) + (rest > _roundMinuteOfDay ? 1 : 0);
        var since = Math.Max(0, day - _firstRoundDay);
        var roundDay = _firstRoundDay + (since + _roundDays - 1) / _roundDays * _roundDays;
        var next = MinuteOfRound(Math.Min(roundDay, _lastDay));
        return minute <= RecordStart ? Math.Min(next, RecordStart) : next;
    }

    /// <summary>What the host's meter shows. At the minute of its change the new one shows 0.</summary>
    public double MeterAt(int minute) => minute < MeterChange
        ? OldMeterAt(minute)
        : Math.Round(Usage.HoursAt(minute) - Usage.HoursAt(MeterChange), 1);

    /// <summary>What the first meter shows, or would show had it stayed.</summary>
    public double OldMeterAt(int minute) => Math.Round(_meterOffset + Usage.HoursAt(minute), 1);

    private int MinuteOfRound(int day) => day * UsageCalendar.DayMinutes + _roundMinuteOfDay;
}
