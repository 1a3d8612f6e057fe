namespace Reliability.Rules;

/// <summary>Kinds of facts, in the order in which they count at equal times.</summary>
public enum Kind
{
    Registered,
    Failed,
    Removed,
    Repaired,
    Refurbished,
    MeterChanged,
    Installed,
    Output,
    Read,
    Retired,
    Retracted,
    Reported,
    Replaced,
}

/// <summary>When something happened, in whole hours since an origin: equal ends for an instant, 24 h apart for a day.</summary>
public readonly record struct Window(long From, long To)
{
    public bool IsDay => To > From;

    public static Window At(long hour) => new(hour, hour);

    public static Window Day(long day) => new(day * 24, (day * 24) + 24);
}

/// <summary>Whether work renewed the wearing part.</summary>
public enum Renewal
{
    Unknown,
    Yes,
    No,
}

/// <summary>Why a module was taken out.</summary>
public enum Reason
{
    Failed,
    LowOutput,
    RatedHoursReached,
    Planned,
    Upgrade,
    Recall,
    HostRetired,
    LoanReturned,
    Other,
}

/// <summary>One reading of a meter, whole hours.</summary>
public readonly record struct Shown(Window When, long Hours);

/// <summary>One posted event, flat: only the fields of its kind are given.</summary>
public sealed record Fact
{
    public required Kind Kind { get; init; }
    public required string Id { get; init; }
    public string Source { get; init; } = "quennick";
    public required string PostedId { get; init; }
    public required Window When { get; init; }

    // Registered, Reported
    public string Model { get; init; } = "";
    public int Refurbishments { get; init; }
    public string? By { get; init; }
    public long? Age { get; init; }
    public long? CompleteFrom { get; init; }

    // What the meter showed: Registered, Installed, Failed, Removed, Output
    public long? Reading { get; init; }

    // Installed
    public string? Host { get; init; }
    public string? Site { get; init; }
    public bool HostMeter { get; init; }
    public bool? Stops { get; init; }

    // Read, MeterChanged: null is the meter that counts where it is fitted
    public bool? OfHost { get; init; }
    public IReadOnlyList<Shown> Readings { get; init; } = [];
    public long? Final { get; init; }
    public long? First { get; init; }

    // Output, per cent of new
    public long Percent { get; init; }
    public bool InUnit { get; init; }

    // Failed, Reported
    public string? Mode { get; init; }
    public bool Moment { get; init; }

    // Removed, Reported
    public Reason? Why { get; init; }

    // Repaired, Refurbished
    public Renewal Renewal { get; init; }
    public long? Before { get; init; }
    public long? After { get; init; }

    // Retired
    public bool RetiredFailed { get; init; }

    /// <summary>The host device in whose record it was posted; null for the module's own record.</summary>
    public string? PostedForHost { get; init; }

    // Retracted, Replaced
    public string TargetSource { get; init; } = "";
    public string TargetId { get; init; } = "";

    // Replaced: the right fact
    public Fact? Right { get; init; }

    // Reported
    public Window Start { get; init; }
    public Window End { get; init; }
    public long AgeAtEnd { get; init; }
    public long? LastWorking { get; init; }
    public bool ReportedFailed { get; init; }
    public bool ReportedInService { get; init; }

    /// <summary>Whether two posts say the same, whoever posted them under whatever id.</summary>
    public bool SaysTheSame(Fact other) =>
        Bare() == other.Bare()
        && Readings.SequenceEqual(other.Readings);

    private Fact Bare() => this with { Id = "", PostedId = "", Source = "", Readings = NoReadings };

    private static readonly IReadOnlyList<Shown> NoReadings = [];
}
