using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>What a reading was taken for.</summary>
internal enum ReadingKind
{
    Registered,
    Installed,
    MeterFirst,
    AfterWork,
    Read,
    Output,
    BeforeWork,
    Failed,
    MeterFinal,
    Removed,
}

/// <summary>One reading of one meter on its way through the derivation.</summary>
internal sealed class ReadingItem(RecordedEvent recorded, ReadingKind kind, MeterReading reading)
{
    public RecordedEvent Event { get; } = recorded;

    public ReadingKind Kind { get; } = kind;

    public MeterReading Reading { get; } = reading;

    public double Hours => Reading.Hours;

    /// <summary>Place of its event among the structural events; null for mere readings.</summary>
    public int? Order { get; init; }

    /// <summary>The segment it was taken in; null for one taken on the bench or at registration.</summary>
    public Segment? Segment { get; set; }

    /// <summary>How many segments had begun when it was taken on the bench or at registration.</summary>
    public int BehindSegments { get; init; }

    /// <summary>Its place among the accepted readings of its meter's run.</summary>
    public int Index { get; set; }

    /// <summary>The piece of its meter's run it belongs to: hours may be subtracted within a piece only. Null when left out.</summary>
    public int? Piece { get; set; }

    /// <summary>
    /// The earliest time at which it can have been taken given the readings before it, hours since the start of its meter's run.
    /// </summary>
    public double At { get; set; }

    public bool Accepted => Piece is not null;

    /// <summary>Whether it was taken at the start or the end of a spell or of a meter, by someone who had it in hand.</summary>
    public bool AtSpellEnd => Kind is not (ReadingKind.Read or ReadingKind.Output or ReadingKind.Failed);

    public static ReadingItem Of(RecordedEvent recorded, ReadingKind kind, double hours, int? order = null, int behindSegments = 0) =>
        new(recorded, kind, new()
        {
            Earliest = recorded.Occurrence.Earliest,
            Latest = recorded.Occurrence.Latest,
            Hours = hours,
        })
        { Order = order, BehindSegments = behindSegments };

    /// <summary>The longest time that can lie between two readings, hours: a meter cannot count more.</summary>
    public static double LongestHours(DateTimeOffset earliest, DateTimeOffset latest) =>
        Math.Max(0, (latest - earliest).TotalHours);
}
