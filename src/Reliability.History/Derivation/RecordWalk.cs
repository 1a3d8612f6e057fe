using Reliability.History.Events;
using Reliability.History.Lives;

namespace Reliability.History.Derivation;

/// <summary>
/// Walks the structural events of a registered module in order and lays out its phases, spells, segments and meter runs.
/// What an event cannot do, such as a removal of what is not fitted, is noted in the ledger and changes nothing.
/// </summary>
internal sealed partial class RecordWalk
{
    private readonly List<RecordedEvent> _structure;
    private readonly DerivationOptions _options;
    private readonly Ledger _ledger;

    // For each event whether, of installs and removals, an install comes next after it.
    private readonly bool[] _installComesNext;

    private MeterRun _ownRun = new();
    private SpellDraft? _open;

    // The spell closed last, as long as neither an install nor a renewal has come since: later reports may belong to it.
    private SpellDraft? _closed;

    // The reading of the module's own meter with which the phase began on the bench.
    private ReadingItem? _bench;
    private bool _repairedSinceFailure;
    private int _segments;
    private RecordedEvent? _lastMeterChange;

    private RecordWalk(List<RecordedEvent> structure, DerivationOptions options, Ledger ledger)
    {
        (_structure, _options, _ledger) = (structure, options, ledger);
        _installComesNext = new bool[structure.Count];
        var install = false;
        for (var order = structure.Count - 1; order >= 0; order--)
        {
            _installComesNext[order] = install;
            install = structure[order].Body is InstalledV1 || (install && structure[order].Body is not RemovedV1);
        }

        Runs.Add(_ownRun);
        Phases.Add(new(0));
    }

    public List<Phase> Phases { get; } = [];

    public List<SpellDraft> Spells { get; } = [];

    public List<MeterRun> Runs { get; } = [];

    /// <summary>The reading of the module's own meter at registration, if any.</summary>
    public ReadingItem? RegistrationReading { get; private set; }

    /// <summary>Index of the phase that was going on, or came next, when the module was registered.</summary>
    public int RegisteredPhase { get; private set; }

    public RecordedEvent? Retirement { get; private set; }

    public SpellDraft? OpenSpell => _open;

    private Phase Phase => Phases[^1];

    /// <summary>Walks a record.</summary>
    /// <param name="structure">Structural events in the order in which they count, one registration among them.</param>
    /// <param name="ownReadings">Readings that may be of the module's own meter.</param>
    /// <param name="options">Policy and choices.</param>
    /// <param name="ledger">Takes what is odd.</param>
    public static RecordWalk Through(
        List<RecordedEvent> structure, List<MeterReading> ownReadings, DerivationOptions options, Ledger ledger)
    {
        var walk = new RecordWalk(structure, options, ledger);
        for (var order = 0; order < structure.Count; order++)
            walk.Take(structure[order], order);
        if (walk.Retirement is null && ownReadings.Exists(walk.ShowsUseSinceBench))
            walk.ImplySpell();
        return walk;
    }

    private void Take(RecordedEvent recorded, int order)
    {
        if (HostRecord.Is(recorded.ModuleId))
        {
            if (_open?.HostRecord == recorded.ModuleId && recorded.Body is MeterChangedV1 changed)
                ChangeMeter(recorded, changed, order);
            return;
        }

        if (Retirement is not null && recorded.Body is not (RetiredV1 or RegisteredV1))
            _ledger.Flag(recorded, RecordOddity.AfterRetirement);

        switch (recorded.Body)
        {
            case RegisteredV1 body:
                Register(recorded, body, order);
                break;
            case InstalledV1 body:
                Install(recorded, body, order);
                break;
            case FailedV1 body:
                Fail(recorded, body, order);
                break;
            case RemovedV1 body:
                Remove(recorded, body, order);
                break;
            case RepairedV1 body:
                Work(new(recorded, order, body.By, body.RenewsWearingPart, body.ReadingBeforeHours, body.ReadingAfterHours));
                break;
            case RefurbishedV1 body:
                Work(new(recorded, order, body.By, body.RenewsWearingPart, body.ReadingBeforeHours, body.ReadingAfterHours));
                break;
            case MeterChangedV1 body:
                ChangeMeter(recorded, body, order);
                break;
            case RetiredV1 body:
                Retire(recorded, body, order);
                break;
        }
    }

    private void Register(RecordedEvent recorded, RegisteredV1 body, int order)
    {
        RegisteredPhase = Phase.Index;
        if (body.ReadingHours is not { } hours)
            return;

        RegistrationReading = _open is { Meter: MeterOwner.Module }
            ? _open.Segment.Add(ReadingItem.Of(recorded, ReadingKind.Registered, hours, order))
            : OnBench(recorded, ReadingKind.Registered, hours, order);
        _bench ??= RegistrationReading;
    }

    private void Install(RecordedEvent recorded, InstalledV1 body, int order)
    {
        if (_open is not null)
        {
            if (_open.Install is { } present && _open.FailureReport is null && present.HostDevice == body.HostDevice
                && present.Position == body.Position)
            {
                _ledger.Stand(recorded, EventStanding.Duplicate, _open.StartEvent.EventId);
                if (body.ReadingHours is { } repeated && body.Meter == _open.Meter)
                    _open.Segment.Add(ReadingItem.Of(recorded, ReadingKind.Read, repeated, order));
                return;
            }

            _ledger.Flag(recorded, RecordOddity.RemovalMissing);
            Close(recorded);
        }

        if (Phase.LifeIsOver && !_repairedSinceFailure)
            _ledger.Flag(recorded, RecordOddity.InstalledAfterFailure);

        Open(body, recorded);
        if (body.ReadingHours is { } hours)
            _open!.Segment.Begin(ReadingItem.Of(recorded, ReadingKind.Installed, hours, order));
    }

    private void Remove(RecordedEvent recorded, RemovedV1 body, int order)
    {
        if (_open is null && _closed is not null)
        {
            _ledger.Stand(recorded, EventStanding.Duplicate, _closed.EndEvent?.EventId);
            FlagIfLower(recorded, body.ReadingHours, _closed.Segment.Last);
            if (_closed.Removal is { } first && first.Reason != body.Reason)
                _ledger.Flag(recorded, RecordOddity.ConflictingReport);
            return;
        }

        var missing = _open is null && !ImplySpell();
        var reading = body.ReadingHours is { } hours ? ReadingItem.Of(recorded, ReadingKind.Removed, hours, order) : null;
        var spell = _open;
        if (missing)
            NoteMissingInstall(recorded);
        else if (reading is not null)
            spell!.Segment.Finish(reading);
        if (spell is not null)
            Close(recorded);

        var verdict = _options.OutcomePolicy.On(body.Reason);
        if (body.Reason == RemovalReason.LowOutput || verdict == OutcomeVerdict.Survived || spell?.FailureReport is not null)
            return;

        if (verdict == OutcomeVerdict.Excluded)
        {
            if (!Phase.LifeIsOver)
                Phase.ExcludedBy = recorded;
            return;
        }

        if (spell is not null)
            spell.FailureReport = recorded;
        EndLife(new(recorded, order, spell) { Reading = reading });
    }

    private void Retire(RecordedEvent recorded, RetiredV1 body, int order)
    {
        if (Retirement is not null)
        {
            _ledger.Stand(recorded, EventStanding.Duplicate, Retirement.EventId);
            return;
        }

        var spell = _open;
        if (spell is not null)
        {
            _ledger.Flag(recorded, RecordOddity.RemovalMissing);
            Close(recorded);
        }

        var failed = string.Equals(body.Reason, RetiredV1.FailedReason, StringComparison.OrdinalIgnoreCase);
        if (failed && Phase.Spells.Count > 0 && spell?.FailureReport is null)
        {
            if (spell is not null)
                spell.FailureReport = recorded;
            EndLife(new(recorded, order, spell));
        }

        Retirement = recorded;
        Phase.ClosedBy = recorded;
    }

    private void EndLife(FailureDraft failure)
    {
        if (Phase.LifeIsOver)
            return;
        Phase.Failure = failure;
        _repairedSinceFailure = false;
    }

    private void NoteMissingInstall(RecordedEvent recorded)
    {
        _ledger.Wait(recorded, UnresolvedReason.InstallMissing);
        _ledger.Flag(recorded, RecordOddity.InstallMissing);
        Phase.WithoutInstall ??= recorded;
    }

    // A module that came back from work and was not read since, or has not run since, lies on the shelf.
    private bool ShowsUseSinceBench(MeterReading reading) =>
        _bench is not null && reading.Latest > _bench.Reading.Earliest && reading.Hours > _bench.Hours;

    // On the module's own meter a known reading on the bench stands for the install that is missing.
    private bool ImplySpell()
    {
        if (_bench is null || Phase.Spells.Count > 0 || Phase.WithoutInstall is not null)
            return false;

        Open(null, _bench.Event);
        _open!.Segment.BeginFrom(_bench);
        _ledger.Flag(_bench.Event, RecordOddity.InstallMissing);
        return true;
    }

    private void Open(InstalledV1? install, RecordedEvent by)
    {
        _open = new(Phase, install, by) { AfterLife = Phase.LifeIsOver };
        AddSegment(by.Occurrence);
        Phase.Spells.Add(_open);
        Spells.Add(_open);
        _closed = null;
        _lastMeterChange = null;
    }

    private void Close(RecordedEvent by)
    {
        _open!.Close(by);
        _closed = _open;
        _open = null;
    }

    private void AddSegment(Occurrence start)
    {
        var run = _ownRun;
        if (_open!.Meter == MeterOwner.Host)
            Runs.Add(run = new());
        _open.Segments.Add(new(_open, run, start, _segments++));
    }

    private ReadingItem OnBench(RecordedEvent recorded, ReadingKind kind, double hours, int order)
    {
        var reading = ReadingItem.Of(recorded, kind, hours, order, behindSegments: _segments);
        _ownRun.Readings.Add(reading);
        return reading;
    }

    private void BreakOwnRun() => Runs.Add(_ownRun = new());

    private void FlagIfLower(RecordedEvent recorded, double? hours, ReadingItem? first)
    {
        if (hours < first?.Hours)
            _ledger.Flag(recorded, RecordOddity.LowerReadingInReport);
    }
}
