using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>The part of a spell on one meter.</summary>
internal sealed class Segment(SpellDraft spell, MeterRun run, Occurrence start)
{
    public SpellDraft Spell { get; } = spell;

    public MeterRun Run { get; } = run;

    public Occurrence Start { get; } = start;

    /// <summary>When it ended; null while it goes on.</summary>
    public Occurrence? End { get; set; }

    public ReadingItem? First { get; private set; }

    public ReadingItem? Last { get; private set; }

    public List<ReadingItem> Readings { get; } = [];

    public List<OutputMark> Outputs { get; } = [];

    /// <summary>The readings that count, in order of time; set once the meter runs are settled.</summary>
    public List<ReadingItem> Accepted { get; set; } = [];

    public void Begin(ReadingItem item) => First = Add(item);

    public void Finish(ReadingItem item) => Last = Add(item);

    public ReadingItem Add(ReadingItem item)
    {
        item.Segment = this;
        Readings.Add(item);
        Run.Readings.Add(item);
        return item;
    }

    /// <summary>Whether a reading lies between those with which the segment begins and ends, as far as there are any.</summary>
    public bool Fits(double hours) => !(hours < First?.Hours) && !(hours > Last?.Hours);
}
