namespace Reliability.Rules;

/// <summary>What a reading of a meter came with.</summary>
internal enum Role
{
    Registered,
    Installed,
    NewMeterBegins,
    AfterWork,
    Read,
    Output,
    BeforeWork,
    Failed,
    OldMeterEnds,
    Removed,
}

/// <summary>A reading of a meter.</summary>
internal sealed class Point
{
    public required Fact Fact { get; init; }
    public required Role Role { get; init; }
    public required Window When { get; init; }
    public required long Hours { get; init; }
    public required string Meter { get; init; }

    /// <summary>Its place in the order of facts; none for what is placed by time alone.</summary>
    public int? Step { get; init; }

    /// <summary>The segment it lies in; null outside every spell.</summary>
    public Segment? Segment { get; set; }

    /// <summary>How many segments there were when it was taken.</summary>
    public int SegmentsBefore { get; init; }

    /// <summary>0 in the largest consistent set of its meter, 1 and more in a suspected reset, null when left out.</summary>
    public int? Piece { get; set; }

    /// <summary>The earliest hour at which it can have been taken, given the readings before it.</summary>
    public long Taken { get; set; }

    public bool Known => Piece is not null;
}

/// <summary>An output that was measured, with its reading if one was given.</summary>
internal sealed record Measured(Fact Fact, Point? Reading, Spell Spell, bool OnShelf);

/// <summary>The part of a spell on one meter.</summary>
internal sealed class Segment
{
    public required Spell Spell { get; init; }
    public required string Meter { get; init; }
    public required Window Start { get; init; }
    public required int Number { get; init; }
    public Window? End { get; set; }

    /// <summary>The readings with which it began and ended, where somebody took them.</summary>
    public Point? First { get; set; }
    public Point? Last { get; set; }
}

/// <summary>From an install to its removal.</summary>
internal sealed class Spell
{
    public required Phase Phase { get; init; }

    /// <summary>Null when the install is missing and the hours come from the module's own meter.</summary>
    public Fact? Install { get; init; }

    public required Window Start { get; init; }
    public bool OnHostMeter => Install?.HostMeter ?? false;
    public bool MeterStops => Install?.Stops ?? !OnHostMeter;

    /// <summary>Hours run on when the life was over belong to none.</summary>
    public bool AfterLife { get; init; }
    public Window? End { get; set; }
    public Fact? EndedBy { get; set; }
    public Fact? Failure { get; set; }
    public Fact? Removal => EndedBy?.Kind == Kind.Removed ? EndedBy : null;
}

/// <summary>From the beginning of the record, or a renewal, to the next renewal: at most one life.</summary>
internal sealed class Phase
{
    public required int Number { get; init; }
    public Fact? Renewal { get; init; }
    public string? By { get; init; }

    /// <summary>It follows work of which nobody knows whether it renewed the wearing part.</summary>
    public bool AfterUnknownWork { get; set; }
    public List<Spell> Spells { get; } = [];

    /// <summary>The first fact that tells of it although no install is there and no hours can be had.</summary>
    public Fact? WithoutInstall { get; set; }

    /// <summary>The failure, or removal or retirement for failure, that ended the life; where; by which mode.</summary>
    public Fact? Failure { get; set; }
    public Spell? FailedIn { get; set; }
    public Point? FailureReading { get; set; }
    public int FailureStep { get; set; }
    public string? Mode { get; set; }
    public int Repetitions { get; set; }

    /// <summary>A removal whose reason the policy leaves out.</summary>
    public Fact? LeftOutBy { get; set; }

    /// <summary>The work or retirement after which nothing belongs to it.</summary>
    public Fact? ClosedBy { get; set; }

    public bool IsOver => Failure is not null || LeftOutBy is not null;
}

/// <summary>A record told in order.</summary>
internal sealed class Story
{
    public required Fact Registration { get; init; }
    public int RegisteredPhase { get; set; }
    public Point? RegistrationReading { get; set; }
    public List<Phase> Phases { get; } = [];
    public List<Segment> Segments { get; } = [];
    public List<Point> Points { get; } = [];
    public List<Measured> Outputs { get; } = [];
    public Dictionary<string, Standing> Standings { get; } = [];
    public HashSet<string> Reached { get; } = [];

    /// <summary>Two sets of readings of one meter are equally large, equally early and end as many spells: nothing says which.</summary>
    public bool LeftOpen { get; set; }
}
