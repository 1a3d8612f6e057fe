using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <content>Failures in a spell, on the shelf, and reported again.</content>
internal sealed partial class RecordWalk
{
    private void Fail(RecordedEvent recorded, FailedV1 body, int order)
    {
        if (_open is null && _closed is not null)
        {
            FailOnShelf(recorded, body, order, _closed);
            return;
        }

        if (_open is null && !ImplySpell())
        {
            NoteMissingInstall(recorded);
            EndLife(new(recorded, order, null) { Mode = body.Mode });
            return;
        }

        var spell = _open!;
        if (spell.FailureReport is { } first)
        {
            ReportAgain(recorded, body, first);
            return;
        }

        var reading = body.ReadingHours is { } hours ? ReadingItem.Of(recorded, ReadingKind.Failed, hours, order) : null;
        if (reading is not null)
            spell.Segment.Add(reading);
        spell.FailureReport = recorded;
        EndLife(new(recorded, order, spell) { Mode = body.Mode, Reading = reading });
    }

    private void FailOnShelf(RecordedEvent recorded, FailedV1 body, int order, SpellDraft closed)
    {
        if (closed.FailureReport is { } first)
        {
            ReportAgain(recorded, body, first);
            return;
        }

        closed.FailureReport = recorded;
        EndLife(new(recorded, order, null) { Mode = body.Mode });
    }

    // A second report of one failure. It may say how a failure showed of which the first said only that it was one.
    private void ReportAgain(RecordedEvent recorded, FailedV1 body, RecordedEvent first)
    {
        if (first.Body is FailedV1)
            _ledger.Stand(recorded, EventStanding.Duplicate, first.EventId);
        else
            _ledger.Relate(recorded, first.EventId);

        if (Phase.Failure is { } failure && failure.Event.EventId == first.EventId)
        {
            FlagIfLower(recorded, body.ReadingHours, failure.Reading);
            failure.Mode ??= body.Mode;
        }
    }
}
