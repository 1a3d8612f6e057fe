using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>The part of a spell on one meter.</summary>
internal sealed class Segment(SpellDraft spell, MeterRun run, Occurrence start, int number)
{
    public SpellDraft Spell { get; } = spell;

    public MeterRun Run { get; } = run;

    public Occurrence Start { get; } = start;

    /// <summary>Its place among the segments of the record.</summary>
    public int Number { get; } = number;

    /// <summary>When it ended; null while it goes on.</summary>
    public Occurrence? End { get; set; }

    public ReadingItem? First { get; private set; }

    public ReadingItem? Last { get; private set; }

    public List<ReadingItem> Readings { get; } = [];

    public List<OutputMark> Outputs { get; } = [];

    /// <summary>The readings that count, in order of time; set once the meter runs are settled.</summary>
    public List<ReadingItem> Accepted { get; set; } = [];

    public void Begin(ReadingItem item) => First = Add(item);

    /// <summary>Begins with a reading that was taken before, on the bench, and stands in the run already.</summary>
    public void BeginFrom(ReadingItem item)
    {
        item.Segment = this;
        Readings.Add(item);
        First = item;
    }

    public void Finish(ReadingItem item) => Last = Add(item);

    public ReadingItem Add(ReadingItem item)
    {
        item.Segment = this;
        Readings.Add(item);
        Run.Readings.Add(item);
        return item;
    }

    /// <summary>
    /// Whether a reading lies between those with which the segment begins and ends, in hours and in pace, as far as there are any.
    /// </summary>
    public bool Fits(MeterReading reading) =>
        (First is null || CanFollow(First.Reading, reading)) && (Last is null || CanFollow(reading, Last.Reading));

    private static bool CanFollow(MeterReading one, MeterReading next) =>
        next.Hours >= one.Hours
        && next.Hours - one.Hours <= ReadingItem.LongestHours(one.Earliest, next.Latest);
}
