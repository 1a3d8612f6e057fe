namespace Reliability.Rules;

/// <summary>Walks through a record in order: spells, segments, phases, duplicates. No hours are added up here.</summary>
internal sealed class Telling
{
    private readonly List<Fact> _order;
    private readonly Asked _asked;
    private readonly Wrong _wrong;
    private readonly Story _story;
    private Spell? _spell;
    private Spell? _closed;
    private Point? _bench;
    private Fact? _meterChange;
    private int _ownMeters, _hostMeters, _step;

    private Telling(List<Fact> order, Asked asked, Wrong wrong)
    {
        (_order, _asked, _wrong) = (order, asked, wrong);
        _story = new() { Registration = order.First(f => f.Kind == Kind.Registered) };
        _story.Phases.Add(new() { Number = 0 });
    }

    private Phase Phase => _story.Phases[^1];

    private Segment Segment => _story.Segments[^1];

    private string OwnMeter => $"own {_ownMeters}";

    /// <summary>The story of these facts, in this order.</summary>
    /// <param name="order">All but readings and outputs.</param>
    /// <param name="reads">Readings, of which some may show that the module ran although no install is recorded.</param>
    public static Story Of(List<Fact> order, List<Fact> reads, Asked asked, Wrong wrong)
    {
        var telling = new Telling(order, asked, wrong);
        foreach (var fact in order)
        {
            telling.Take(fact);
            telling._step++;
        }

        var shown = reads.Where(f => f.OfHost != true && f.PostedForHost is null).SelectMany(f => f.Readings);
        if (!order.Exists(f => f.Kind == Kind.Retired)
            && telling._bench is { } bench && shown.Any(r => r.When.To > bench.When.From && r.Hours > bench.Hours))
            telling.BeginFromBench();
        return telling._story;
    }

    private void Take(Fact fact)
    {
        switch (fact.Kind)
        {
            case Kind.Registered: Registered(fact); break;
            case Kind.Installed: Installed(fact); break;
            case Kind.MeterChanged: MeterChanged(fact); break;
            case Kind.Failed: Failed(fact); break;
            case Kind.Removed: Removed(fact); break;
            case Kind.Repaired or Kind.Refurbished: Worked(fact); break;
            case Kind.Retired: Retired(fact); break;
            default: throw new InvalidOperationException($"{fact.Kind} is no part of the walk.");
        }
    }

    private Point? Add(Fact fact, Role role, long? hours, bool onBench = false)
    {
        if (hours is not { } shown)
            return null;
        var segment = onBench ? null : Segment;
        var point = new Point
        {
            Fact = fact,
            Role = role,
            When = fact.When,
            Hours = shown,
            Meter = segment?.Meter ?? OwnMeter,
            Segment = segment,
            SegmentsBefore = _story.Segments.Count,
            Step = _step,
        };
        _story.Points.Add(point);
        return point;
    }

    private void Begin(Window start)
    {
        var meter = !_spell!.OnHostMeter ? OwnMeter : $"host {_hostMeters++}";
        _story.Segments.Add(new() { Spell = _spell, Meter = meter, Start = start, Number = _story.Segments.Count });
    }

    private void Open(Fact? install, Window start)
    {
        _spell = new() { Phase = Phase, Install = install, Start = start, AfterLife = Phase.IsOver && _wrong != Wrong.LifeGoesOnAfterFailure };
        Phase.Spells.Add(_spell);
        (_closed, _meterChange) = (null, null);
        Begin(start);
        _story.Reached.Add(_spell.OnHostMeter ? "spell on the host's meter" : "spell on the module's own meter");
        if (_spell.AfterLife)
            _story.Reached.Add("hours run on after the life was over");
    }

    private void Close(Fact fact)
    {
        (_spell!.End, _spell.EndedBy, Segment.End) = (fact.When, fact, fact.When);
        (_closed, _spell) = (_spell, null);
    }

    private void Registered(Fact fact)
    {
        _story.RegisteredPhase = Phase.Number;
        _story.RegistrationReading = Add(fact, Role.Registered, fact.Reading, onBench: _spell is not { OnHostMeter: false });
        _bench ??= _story.RegistrationReading;
    }

    private void Installed(Fact fact)
    {
        if (_spell is { Install: { } present, Failure: null } && present.Host == fact.Host)
        {
            // Fitted where it is fitted: the same install, told again.
            _story.Reached.Add("second report of an install");
            _story.Standings[fact.Id] = Standing.Duplicate;
            if (fact.HostMeter == _spell.OnHostMeter)
                Add(fact, Role.Read, fact.Reading);
            return;
        }

        if (_spell is not null)
        {
            _story.Reached.Add("installed while fitted elsewhere");
            Close(fact);
        }

        Open(fact, fact.When);
        Segment.First = Add(fact, Role.Installed, fact.Reading);
    }

    private void Removed(Fact fact)
    {
        if (_spell is null && _closed is not null)
        {
            _story.Standings[fact.Id] = Standing.Duplicate;
            _story.Reached.Add("second report of a removal");
            return;
        }

        if (_spell is null && !BeginFromBench())
            WithoutInstall(fact);
        var spell = _spell;
        Point? reading = null;
        if (spell is not null)
        {
            reading = Segment.Last = Add(fact, Role.Removed, fact.Reading);
            Close(fact);
        }

        var verdict = _wrong == Wrong.PlannedRemovalAsFailure && fact.Why == Reason.Planned ? Verdict.Failed : _asked.On(fact.Why!.Value);
        if (fact.Why == Reason.LowOutput || spell?.Failure is not null)
            return;
        if (verdict == Verdict.Excluded && !Phase.IsOver)
            Phase.LeftOutBy = fact;
        if (verdict == Verdict.Failed)
        {
            if (spell is not null)
                spell.Failure = fact;
            EndLife(fact, spell, reading);
        }
    }

    private void EndLife(Fact fact, Spell? spell, Point? reading = null)
    {
        if (Phase.IsOver)
            return;
        (Phase.Failure, Phase.FailedIn, Phase.FailureReading, Phase.FailureStep, Phase.Mode) = (fact, spell, reading, _step, fact.Mode);
    }

    private void Failed(Fact fact)
    {
        var spell = _spell ?? _closed;
        if (spell is null && !BeginFromBench())
        {
            WithoutInstall(fact);
            EndLife(fact, null);
            return;
        }

        spell ??= _spell!;
        if (spell.Failure is { } first)
        {
            // The same failure, told again; it may say how it showed where the first did not.
            _story.Reached.Add("second report of a failure");
            if (first.Kind == Kind.Failed)
                _story.Standings[fact.Id] = Standing.Duplicate;
            if (Phase.Failure == first)
            {
                Phase.Mode ??= fact.Mode;
                Phase.Repetitions++;
            }

            return;
        }

        spell.Failure = fact;
        if (_spell is null)
            _story.Reached.Add("failure on the shelf");
        EndLife(fact, _spell, _spell is null ? null : Add(fact, Role.Failed, fact.Reading));
    }

    private void WithoutInstall(Fact fact)
    {
        _story.Reached.Add("install missing");
        _story.Standings[fact.Id] = Standing.InstallMissing;
        Phase.WithoutInstall ??= fact;
    }

    // "Install missing: on the module's own meter with a known reading at registration the life is computed"; a reading on the
    // bench after a renewal serves as well.
    private bool BeginFromBench()
    {
        if (_bench is null || Phase.Spells.Count > 0 || Phase.WithoutInstall is not null)
            return false;
        _story.Reached.Add("install missing, hours from the module's own meter");
        Open(null, _bench.When);
        _bench.Segment = Segment;
        Segment.First = _bench;
        return true;
    }

    private void MeterChanged(Fact fact)
    {
        if (fact.PostedForHost is { } host)
        {
            if (_spell is not { OnHostMeter: true } || _spell.Install!.Host != host)
                return;
            _story.Reached.Add("meter change posted for the host");
        }

        var ofHost = fact.OfHost ?? _spell?.OnHostMeter ?? false;
        if (_spell is not null && ofHost == _spell.OnHostMeter)
        {
            if (_wrong == Wrong.MeterChangeIgnored)
                Add(fact, Role.Read, fact.Final);
            else if (_meterChange is { } before && before.Final == fact.Final && before.First == fact.First
                && fact.Final - fact.First > Fitting.Clock(before.When, fact.When))
            {
                // The new meter cannot have got as far as the old one by then: one change, told twice.
                _story.Reached.Add("second report of a meter change");
                _story.Standings[fact.Id] = Standing.Duplicate;
            }
            else
            {
                _story.Reached.Add(fact.Final is null || fact.First is null ? "meter change with a reading missing" : "meter change");
                Split(fact, fact.Final, fact.First);
            }
        }
        else if (!ofHost)
        {
            Add(fact, Role.OldMeterEnds, fact.Final, onBench: true);
            _ownMeters++;
            var first = Add(fact, Role.NewMeterBegins, fact.First, onBench: true);
            _bench = _bench is null ? null : first;
        }
    }

    private void Split(Fact fact, long? final, long? first)
    {
        if (final is not null)
            Segment.Last = Add(fact, Role.OldMeterEnds, final);
        Segment.End = fact.When;
        if (!_spell!.OnHostMeter)
            _ownMeters++;
        Begin(fact.When);
        Segment.First = Add(fact, Role.NewMeterBegins, first);
        _meterChange = fact;
    }

    private void Worked(Fact fact)
    {
        var renewal = fact.Renewal != Renewal.Unknown ? fact.Renewal
            : _wrong == Wrong.UnknownRenewalTakenAsYes ? Renewal.Yes
            : _asked.UnknownRenews is not { } said ? Renewal.Unknown
            : said ? Renewal.Yes : Renewal.No;
        if (fact.Renewal == Renewal.Unknown)
            _story.Reached.Add(renewal == Renewal.Unknown ? "unknown renewal" : $"unknown renewal taken as {renewal}".ToLowerInvariant());
        else
            _story.Reached.Add(renewal == Renewal.Yes ? "renewal" : Phase.IsOver ? "not renewed after a failure" : "not renewed");

        // Worked on while fitted: out of the host when it is fitted again next, else where it is.
        if (_spell is not null)
        {
            if (_order.Skip(_step + 1).FirstOrDefault(f => f.Kind is Kind.Installed or Kind.Removed)?.Kind != Kind.Installed)
            {
                WorkedInPlace(fact, renewal);
                return;
            }

            _story.Reached.Add("worked on, removal missing");
            if (!_spell.OnHostMeter && fact.Before is not null)
                Segment.Last = Add(fact, Role.BeforeWork, fact.Before);
            Close(fact);
        }

        if (renewal != Renewal.No && Phase is { Renewal: not null, Spells.Count: 0, WithoutInstall: null })
        {
            // It has not run since: the same work, told again.
            _story.Reached.Add("second report of a renewal");
            if (renewal == Renewal.Yes && Phase.AfterUnknownWork)
                Phase.AfterUnknownWork = false;
            else
                _story.Standings[fact.Id] = Standing.Duplicate;
            return;
        }

        if (renewal != Renewal.No)
            Renew(fact, renewal);
        var reading = _closed?.EndedBy == fact ? null : Add(fact, Role.BeforeWork, fact.Before, onBench: true);
        if (fact.After is not null && fact.After != fact.Before)
        {
            _ownMeters++;
            reading = Add(fact, Role.AfterWork, fact.After, onBench: true);
        }

        if (renewal != Renewal.No)
            _bench = reading;
    }

    private void WorkedInPlace(Fact fact, Renewal renewal)
    {
        _story.Reached.Add("worked on in place");
        var spell = _spell!;
        if (renewal == Renewal.No && spell.Failure is null)
        {
            if (fact.Before is not null && fact.After is not null && fact.Before != fact.After)
                Split(fact, fact.Before, fact.After);
            else
                Add(fact, Role.BeforeWork, fact.Before ?? fact.After);
            return;
        }

        if (fact.Before is not null)
            Segment.Last = Add(fact, Role.BeforeWork, fact.Before);
        Close(fact);
        if (renewal != Renewal.No)
            Renew(fact, renewal);
        if (fact.After is not null && !spell.OnHostMeter)
            _ownMeters++;
        Open(spell.Install, fact.When);
        Segment.First = Add(fact, Role.AfterWork, fact.After ?? fact.Before);
    }

    private void Renew(Fact fact, Renewal renewal)
    {
        Phase.ClosedBy = fact;
        _story.Phases.Add(new()
        {
            Number = _story.Phases.Count,
            Renewal = fact,
            By = fact.By,
            AfterUnknownWork = renewal == Renewal.Unknown,
        });
        (_closed, _bench) = (null, null);
    }

    private void Retired(Fact fact)
    {
        if (_story.Phases.Exists(p => p.ClosedBy?.Kind == Kind.Retired))
        {
            _story.Standings[fact.Id] = Standing.Duplicate;
            return;
        }

        var spell = _spell;
        if (spell is not null)
            Close(fact);
        if (fact.RetiredFailed && Phase.Spells.Count > 0 && spell?.Failure is null)
        {
            _story.Reached.Add("retired as failed");
            if (spell is not null)
                spell.Failure = fact;
            EndLife(fact, spell);
        }

        Phase.ClosedBy = fact;
    }
}
