using System.Runtime.InteropServices;
using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// Puts readings and measurements of output into the segment in which they were taken: by order of time; where a day leaves
/// it open, into the one whose first and last reading they fit.
/// </summary>
internal sealed class ReadingPlacement
{
    private readonly List<Segment> _segments;
    private readonly DateTimeOffset[] _starts;
    private readonly Ledger _ledger;
    private readonly Dictionary<(Segment, string Source, MeterReading), RecordedEvent> _placed;

    /// <param name="spells">The spells that the walk laid out.</param>
    /// <param name="events">How many events may have readings to place.</param>
    /// <param name="ledger">Takes what is odd.</param>
    public ReadingPlacement(IEnumerable<SpellDraft> spells, int events, Ledger ledger)
    {
        (_placed, _ledger) = (new(events), ledger);
        _segments = [.. spells.SelectMany(spell => spell.Segments)];
        _starts = new DateTimeOffset[_segments.Count];

        // Segments stand in the order in which they count; a move within a day may have put a later start first. One that was
        // moved behind another began no earlier than that, whatever its day says.
        var latest = DateTimeOffset.MinValue;
        for (var i = 0; i < _segments.Count; i++)
        {
            if (_segments[i].Start.Earliest > latest)
                latest = _segments[i].Start.Earliest;
            _starts[i] = latest;
        }
    }

    /// <summary>
    /// Places readings. One that its source took of the meter at that time already, posted under another id or for the host
    /// and for the module both, is the same reading and is not placed twice.
    /// </summary>
    public void Place(RecordedEvent recorded, RunHoursReadV1 body, DateTimeOffset? cutoff)
    {
        var host = HostRecord.Is(recorded.ModuleId) ? recorded.ModuleId : null;
        var (first, fresh) = ((RecordedEvent?)null, false);
        foreach (var reading in body.Readings)
        {
            if (reading.Latest > cutoff)
                continue;
            if (Find(reading.Earliest, reading.Latest, body.Meter, reading, host) is { } segment)
            {
                ref var placed = ref CollectionsMarshal.GetValueRefOrAddDefault(
                    _placed, (segment, recorded.Source, reading), out var known);
                if (known)
                    first ??= placed;
                else
                    segment.Add(new(placed = recorded, ReadingKind.Read, reading));
                fresh |= placed == recorded;
            }
            else if (host is null)
            {
                fresh = true;
                NoteUnused(recorded, reading.Earliest);
            }
        }

        if (first is not null && !fresh)
            _ledger.Stand(recorded, EventStanding.Duplicate, first.EventId);
    }

    public void Place(RecordedEvent recorded, OutputMeasuredV1 body)
    {
        var when = recorded.Occurrence;
        var shown = body.ReadingHours is { } hours ? ReadingItem.Of(recorded, ReadingKind.Output, hours) : null;
        if (Find(when.Earliest, when.Latest, null, shown?.Reading, host: null) is not { } segment)
        {
            if (ShelvedFrom(when) is { } shelved)
                shelved.Outputs.Add(new(recorded, body, null, true));
            else
                NoteUnused(recorded, when.Earliest);
            return;
        }

        if (shown is not null)
            segment.Add(shown);
        segment.Outputs.Add(new(recorded, body, shown, false));
    }

    private void NoteUnused(RecordedEvent recorded, DateTimeOffset when)
    {
        _ledger.Flag(recorded, RecordOddity.ReadingNotUsed);
        if (_segments.Count == 0 || _segments[0].Start.Earliest > when)
            _ledger.Wait(recorded, UnresolvedReason.InstallMissing);
    }

    // A module that was taken out still has the output it had then, until its wearing part is renewed.
    private Segment? ShelvedFrom(Occurrence when)
    {
        var index = LastStartedBy(when.Earliest);
        return index >= 0 && _segments[index] is { End: not null } segment && segment == segment.Spell.Segment
            && !(segment.Spell.Phase.ClosedBy?.Occurrence.Earliest <= when.Earliest)
            ? segment
            : null;
    }

    private Segment? Find(
        DateTimeOffset earliest, DateTimeOffset latest, MeterOwner? meter, MeterReading? reading, string? host)
    {
        Segment? byOrder = null;
        Segment? fitting = null;
        for (var i = LastStartedBy(latest); i >= 0; i--)
        {
            var segment = _segments[i];
            if (segment.End is { } end && end.Latest <= earliest)
                break;
            if ((meter is { } read && read != segment.Spell.Meter) || (host is not null && host != segment.Spell.HostRecord))
                continue;

            var inOrder = _starts[i] <= earliest && !(segment.End?.Earliest <= earliest);
            var fits = reading is null || segment.Fits(reading);
            if (inOrder && fits)
                return segment;
            if (inOrder)
                byOrder ??= segment;
            else if (fits && MayHold(_starts[i], segment.End, earliest, latest))
                fitting ??= segment;
        }

        return fitting ?? byOrder;
    }

    // A day leaves it open on which side of an event of that day another one lies; two instants leave nothing open.
    private static bool MayHold(DateTimeOffset start, Occurrence? end, DateTimeOffset earliest, DateTimeOffset latest) =>
        (start <= earliest || start < latest) && (end is null || earliest < end.Latest);

    private int LastStartedBy(DateTimeOffset time)
    {
        var index = Array.BinarySearch(_starts, time);
        if (index < 0)
            return ~index - 1;
        while (index + 1 < _starts.Length && _starts[index + 1] == time)
            index++;
        return index;
    }
}
