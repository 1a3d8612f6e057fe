using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <content>Repairs, refurbishments and changes of meter.</content>
internal sealed partial class RecordWalk
{
    private void Work(WorkDone work)
    {
        var renewal = (work.Renews, _options.UnknownRenewalRenews) switch
        {
            (RenewalStatement.Unknown, true) => RenewalStatement.Yes,
            (RenewalStatement.Unknown, false) => RenewalStatement.No,
            var (stated, _) => stated,
        };

        if (_open is not null && _installComesNext[work.Order])
        {
            _ledger.Flag(work.Event, RecordOddity.RemovalMissing);
            if (work.Before is { } before && _open.Meter == MeterOwner.Module)
                _open.Segment.Finish(ReadingItem.Of(work.Event, ReadingKind.BeforeWork, before, work.Order));
            Close(work.Event);
        }

        if (_open is not null)
            WorkInPlace(work, renewal);
        else
            WorkOnBench(work, renewal);
        _repairedSinceFailure = true;
    }

    private void WorkInPlace(WorkDone work, RenewalStatement renewal)
    {
        var spell = _open!;
        if (renewal == RenewalStatement.No && spell.FailureReport is null)
        {
            if (work is { Before: { } final, After: { } first } && final != first)
                Split(work.Event, work.Order, final, first);
            else if ((work.Before ?? work.After) is { } hours)
                spell.Segment.Add(ReadingItem.Of(work.Event, ReadingKind.BeforeWork, hours, work.Order));
            return;
        }

        // The module stays where it is; what runs on from here is another spell of another life, or of none.
        if (work.Before is { } before)
            spell.Segment.Finish(ReadingItem.Of(work.Event, ReadingKind.BeforeWork, before, work.Order));
        Close(work.Event);
        if (renewal != RenewalStatement.No)
            Renew(work, renewal);
        if (work.After is not null && spell.Meter == MeterOwner.Module)
            BreakOwnRun();
        Open(spell.Install, work.Event);
        if ((work.After ?? work.Before) is { } after)
            _open!.Segment.Begin(ReadingItem.Of(work.Event, ReadingKind.AfterWork, after, work.Order));
    }

    private void WorkOnBench(WorkDone work, RenewalStatement renewal)
    {
        if (renewal != RenewalStatement.No)
        {
            if (Phase is { Renewal: { } first, Spells.Count: 0, WithoutInstall: null })
            {
                RenewAgain(work, renewal, first);
                return;
            }

            Renew(work, renewal);
        }

        ReadingItem? reading = null;
        if (work.Before is { } before && _closed?.EndEvent?.EventId != work.Event.EventId)
            reading = OnBench(work.Event, ReadingKind.BeforeWork, before, work.Order);
        if (work.After is { } after && after != work.Before)
        {
            BreakOwnRun();
            reading = OnBench(work.Event, ReadingKind.AfterWork, after, work.Order);
        }

        if (renewal != RenewalStatement.No)
            _bench = reading;
    }

    private void Renew(WorkDone work, RenewalStatement renewal)
    {
        Phase.ClosedBy = work.Event;
        Phases.Add(new(Phases.Count)
        {
            Renewal = work.Event,
            RenewedBy = work.By,
            RenewalUnknown = renewal == RenewalStatement.Unknown,
        });
        _closed = null;
        _bench = null;
    }

    // A wearing part that has not run since it was renewed is not renewed again: the second event reports the same work.
    private void RenewAgain(WorkDone work, RenewalStatement renewal, RecordedEvent first)
    {
        if (renewal == RenewalStatement.Yes && Phase.RenewalUnknown)
        {
            Phase.RenewalUnknown = false;
            _ledger.Relate(work.Event, first.EventId);
            return;
        }

        _ledger.Stand(work.Event, EventStanding.Duplicate, first.EventId);
        if (work.By is not null && Phase.RenewedBy is not null && work.By != Phase.RenewedBy)
            _ledger.Flag(work.Event, RecordOddity.ConflictingReport);
    }

    private void ChangeMeter(RecordedEvent recorded, MeterChangedV1 body, int order)
    {
        var meter = body.Meter ?? _open?.Meter ?? MeterOwner.Module;
        if (_open is not null && _open.Meter == meter)
        {
            if (IsSameChange(recorded, body))
                _ledger.Stand(recorded, EventStanding.Duplicate, _lastMeterChange!.EventId);
            else
                Split(recorded, order, body.FinalHours, body.FirstHours);
            return;
        }

        if (meter == MeterOwner.Host)
        {
            _ledger.Flag(recorded, RecordOddity.ReadingNotUsed);
            return;
        }

        if (body.FinalHours is { } final)
            OnBench(recorded, ReadingKind.MeterFinal, final, order);
        BreakOwnRun();
        ReadingItem? reading = null;
        if (body.FirstHours is { } first)
            reading = OnBench(recorded, ReadingKind.MeterFirst, first, order);
        if (_bench is not null)
            _bench = reading;
    }

    private void Split(RecordedEvent recorded, int order, double? final, double? first)
    {
        var spell = _open!;
        if (final is { } finalHours)
            spell.Segment.Finish(ReadingItem.Of(recorded, ReadingKind.MeterFinal, finalHours, order));
        spell.Segment.End = recorded.Occurrence;
        if (spell.Meter == MeterOwner.Module)
            BreakOwnRun();
        AddSegment(recorded.Occurrence);
        if (first is { } firstHours)
            spell.Segment.Begin(ReadingItem.Of(recorded, ReadingKind.MeterFirst, firstHours, order));
        _lastMeterChange = recorded;
    }

    // Two systems that report one change: the new meter cannot have run up to the old one's last reading in the time between.
    private bool IsSameChange(RecordedEvent recorded, MeterChangedV1 body) =>
        _lastMeterChange is { Body: MeterChangedV1 { FinalHours: { } final, FirstHours: { } first } } last
        && body.FinalHours == final && body.FirstHours == first
        && final - first > ReadingItem.LongestHours(last.Occurrence.Earliest, recorded.Occurrence.Latest);

    private sealed record WorkDone(
        RecordedEvent Event, int Order, string? By, RenewalStatement Renews, double? Before, double? After);
}
