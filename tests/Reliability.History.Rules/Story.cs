namespace Reliability.Rules;

/// <summary>What a point on a meter stands for.</summary>
internal enum Role
{
    Registered,
    Installed,
    Read,
    Output,
    OldMeterEnds,
    NewMeterBegins,
    Failed,
    Removed,
    Work,
    SpellCutShort,
}

/// <summary>A moment at which a meter was, or could have been, read.</summary>
internal sealed class Point
{
    public required Fact Fact { get; init; }
    public required Role Role { get; init; }
    public required Window When { get; init; }
    public required string Meter { get; init; }

    /// <summary>What the meter showed; null when nobody read it.</summary>
    public long? Hours { get; init; }

    /// <summary>The segment it lies in; null outside every spell.</summary>
    public Segment? Segment { get; init; }

    /// <summary>Whether it is in the largest consistent set of its meter.</summary>
    public bool Fits { get; set; }

    /// <summary>Whether it was left out as part of a suspected reset.</summary>
    public bool Reset { get; set; }

    public bool Known => Hours is not null && Fits;
    public bool LeftOut => Hours is not null && !Fits;
}

/// <summary>The part of a spell on one meter.</summary>
internal sealed class Segment
{
    public required Spell Spell { get; init; }
    public required string Meter { get; init; }
}

/// <summary>From an install to its removal.</summary>
internal sealed class Spell
{
    public required Phase Phase { get; init; }

    /// <summary>Null when the install is missing and the hours come from the module's own meter.</summary>
    public Fact? Install { get; init; }
    public required bool OnHostMeter { get; init; }
    public required bool MeterStops { get; init; }
    public Fact? Removal { get; set; }
    public Fact? Failure { get; set; }
    public bool Open { get; set; } = true;
}

/// <summary>From the beginning of the record, or a renewal, to the next renewal: at most one life.</summary>
internal sealed class Phase
{
    public required int Refurbishments { get; init; }
    public string? By { get; init; }
    public bool First { get; init; }

    /// <summary>It follows work of which nobody knows whether it renewed the wearing part.</summary>
    public bool AfterUnknownWork { get; init; }
    public List<Spell> Spells { get; } = [];

    /// <summary>What was reported of it although no install is there and no hours can be had.</summary>
    public List<Fact> WithoutInstall { get; } = [];

    /// <summary>What ended it, or may have: failures, removals, retirement for failure; in order.</summary>
    public List<Fact> Ends { get; } = [];
}

/// <summary>A record told in order: its phases and the points on its meters.</summary>
internal sealed class Story
{
    public Fact? Registration { get; set; }
    public List<Phase> Phases { get; } = [];
    public List<Point> Points { get; } = [];
    public Dictionary<string, Standing> Standings { get; } = [];
    public HashSet<string> Reached { get; } = [];
}
