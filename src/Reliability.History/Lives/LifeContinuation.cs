using Reliability.History.Derivation;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>
/// A module with the life that goes on, as far as readings change them. Lives that are over, spells, usage and standings of events
/// are not looked at.
/// </summary>
/// <param name="Module">State, place and age.</param>
/// <param name="CurrentLife">The life that goes on.</param>
/// <param name="Continuation">What must be known to go on.</param>
public sealed record ContinuedModule(DerivedModule Module, Life CurrentLife, Continuation Continuation);

/// <summary>
/// Goes on from what was derived with what mostly comes: further readings of the meter of a module that is in service, later than
/// everything on record and in step with it. Whatever is not plainly that is left to <see cref="LifeDerivation"/>, which is the
/// truth: what comes out here is what it gives for the whole record, to the last bit.
/// </summary>
public static class LifeContinuation
{
    /// <summary>Goes on with readings.</summary>
    /// <param name="from">The module as it was derived, in the default view.</param>
    /// <param name="readings">All that came onto its record since, in any order.</param>
    /// <returns>The module with them; null when the whole record must be looked at.</returns>
    public static ContinuedModule? Continue(ContinuedModule from, IEnumerable<RecordedEvent> readings)
    {
        var (state, last) = (from.Continuation, (RecordedEvent?)null);
        foreach (var recorded in Ordering.ByOccurrence(readings))
        {
            if (PlainReading(recorded) is not { } reading || After(state, reading) is not { } next)
                return null;
            (state, last) = (next, recorded);
        }

        return last is null ? from : Told(from, state, last);
    }

    /// <summary>What must be known to go on from a record.</summary>
    /// <param name="counting">The events that count.</param>
    /// <param name="walk">The walk through them.</param>
    /// <param name="last">The phase that goes on.</param>
    /// <returns>Null when readings that follow may change more than the end of the record.</returns>
    internal static Continuation? Of(IEnumerable<RecordedEvent> counting, RecordWalk walk, PhaseOutcome last)
    {
        if (!last.GoesOn || last.Phase.RenewalUnknown || !last.Observation.AgesKnown || last.Life is not { Exclusion: null }
            || walk.OpenSpell is not { Meter: MeterOwner.Module } open || open.Phase != last.Phase)
            return null;

        // Hours at an unread moment may be bounded by any reading after it.
        if (last.Ages.Interpolated || last.Ages.Points is not [.., var point] || point.Item.Segment != open.Segment)
            return null;

        // Which readings are left out may change with each that comes.
        var run = open.Segment.Run;
        if (run.Accepted.Count < run.Readings.Count || run.Accepted[^1] != point.Item || run.Accepted.Exists(item => item.Piece != 0))
            return null;

        var (phaseHours, anchor) = (point.Hours, last.Observation.AnchorHours);
        if (!IsFinite(phaseHours) || !IsFinite(anchor))
            return null;
        var (lastTime, lastEnd) = Last(counting);
        return new()
        {
            LastTime = lastTime,
            LastEndTime = lastEnd,
            RunStartTime = run.Origin,
            MeterHours = point.Item.Hours,
            IdleHours = run.IdleHours,
            PhaseHours = phaseHours,
            AnchorAgeHours = last.Observation.AnchorAge,
            AnchorPhaseHours = anchor,
        };
    }

    private static bool IsFinite(HoursRange hours) => double.IsFinite(hours.LowerHours) && double.IsFinite(AgeWalk.Upper(hours));

    // Retractions and reported lives have times too, but no reading counts by them.
    private static (DateTimeOffset Time, DateTimeOffset End) Last(IEnumerable<RecordedEvent> counting)
    {
        var (time, end) = (DateTimeOffset.MinValue, DateTimeOffset.MinValue);
        foreach (var recorded in counting)
        {
            if (recorded.Body is RetractedV1 or LifeReportedV1)
                continue;
            Take(recorded.Occurrence.Earliest, recorded.Occurrence.Latest);
            if (recorded.Body is not RunHoursReadV1 read)
                continue;
            foreach (var reading in read.Readings)
                Take(reading.Earliest, reading.Latest);
        }

        return (time, end);

        void Take(DateTimeOffset earliest, DateTimeOffset latest)
        {
            if (earliest > time)
                time = earliest;
            if (latest > end)
                end = latest;
        }
    }

    private static MeterReading? PlainReading(RecordedEvent recorded) =>
        recorded.Body is RunHoursReadV1 { Meter: null or MeterOwner.Module, Readings: [var reading] }
        && !HostRecord.Is(recorded.ModuleId)
        && reading.Earliest == recorded.Occurrence.Earliest && reading.Latest == recorded.Occurrence.Latest
            ? reading
            : null;

    private static Continuation? After(Continuation before, MeterReading reading)
    {
        if (reading.Earliest <= before.LastTime || reading.Earliest < before.LastEndTime || reading.Latest < reading.Earliest)
            return null;
        if (!(reading.Hours >= before.MeterHours) || before.IdleHours > ConsistentReadings.MostIdle(reading, before.RunStartTime))
            return null;

        // At equal hours it may stand before the last reading, unless the meter stood still in between.
        var idle = Math.Max(before.IdleHours, ConsistentReadings.LeastIdle(reading, before.RunStartTime));
        if (reading.Hours == before.MeterHours && !(idle + reading.Hours > before.IdleHours + before.MeterHours))
            return null;

        return before with
        {
            LastTime = reading.Earliest,
            LastEndTime = reading.Latest,
            MeterHours = reading.Hours,
            IdleHours = idle,
            PhaseHours = before.PhaseHours + AgeWalk.Moved(before.MeterHours, reading.Hours),
        };
    }

    private static ContinuedModule Told(ContinuedModule from, Continuation state, RecordedEvent last)
    {
        var observation = Observation.Anchored(state.AnchorAgeHours, state.AnchorPhaseHours);
        var age = observation.Age(state.PhaseHours);
        var life = from.CurrentLife with
        {
            EndTime = state.LastTime,
            Outcome = LifeOutcome.Survived(age.LowerHours),
            OutcomeEventId = last.EventId,
        };
        var module = from.Module with
        {
            Age = age,
            TotalHours = life.TotalHoursBefore + age,
            LastReadingTime = state.LastTime,
            LastReadingHours = state.MeterHours,
        };
        return new(module, life, state);
    }
}
