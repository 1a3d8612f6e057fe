using Reliability.DemoData.Scenario;

namespace Reliability.DemoData.Simulation;

/// <summary>One simulated life of one module in one position: what truly happened and what could be seen of it.</summary>
internal sealed record ServiceLife
{
    /// <summary>The module.</summary>
    public required ModuleUnit Module { get; init; }

    /// <summary>The hospital.</summary>
    public required Hospital Hospital { get; init; }

    /// <summary>The position.</summary>
    public required Position Position { get; init; }

    /// <summary>How often the module had been refurbished when the life began.</summary>
    public required int RefurbishmentCount { get; init; }

    /// <summary>Who refurbished it last before the life began.</summary>
    public required string Refurbisher { get; init; }

    /// <summary>The module's own meter when the life began.</summary>
    public required double OwnMeterAtStart { get; init; }

    /// <summary>When it was fitted.</summary>
    public required int Start { get; init; }

    /// <summary>When it ended, or was last seen working.</summary>
    public required int End { get; init; }

    /// <summary>How it ended.</summary>
    public required LifeEnd Outcome { get; init; }

    /// <summary>The true length in run-hours, most often beyond what could be seen.</summary>
    public required double TrueHours { get; init; }

    /// <summary>How it fails.</summary>
    public required FailureMode Mode { get; init; }

    /// <summary>When it was taken out; none while it is fitted.</summary>
    public int? Removal { get; init; }

    /// <summary>When it came back refurbished; none when it did not.</summary>
    public int? RefurbishedAt { get; set; }

    /// <summary>When it went out of use for good; none when it did not.</summary>
    public int? RetiredAt { get; set; }

    /// <summary>Who refurbished it after this life.</summary>
    public string NextRefurbisher { get; set; } = "";

    /// <summary>The truth it was drawn from.</summary>
    public TrueLife Truth => Module.Family.TruthFor(RefurbishmentCount);

    /// <summary>True when the record begins after the life did.</summary>
    public bool EntersLate => Start < Position.RecordStart;

    /// <summary>When observation begins.</summary>
    public int Entry => Math.Max(Start, Position.RecordStart);

    /// <summary>True when the record tells of it.</summary>
    public bool IsRecorded => End > Position.RecordStart;

    /// <summary>Run-hours since the life began, to a tenth of an hour as meters show them.</summary>
    public double AgeAt(int minute) =>
        Math.Round(Position.Usage.HoursAt(minute) - Position.Usage.HoursAt(Start), 1);

    /// <summary>What the meter that counts for this module shows. The module's own stops when it fails.</summary>
    public double ReadingAt(int minute)
    {
        if (!Module.Family.HasOwnMeter)
            return Position.MeterAt(minute);
        var running = Outcome == LifeEnd.FailedAtOnce ? Math.Min(minute, End) : minute;
        return Math.Round(OwnMeterAtStart + AgeAt(running), 1);
    }

    /// <summary>The rounds strictly between entry and end; when it is in service the last round ends it and is one too.</summary>
    public IEnumerable<int> Rounds()
    {
        for (var round = Position.NextRound(Entry + 1); round < End; round = Position.NextRound(round + 1))
            yield return round;
        if (Outcome == LifeEnd.InService)
            yield return End;
    }

    /// <summary>The last time it was looked at and worked before a failure was found: a round, or when observation began.</summary>
    public int LastSeenWorking => Rounds().LastOrDefault(round => round < End, Entry);
}
