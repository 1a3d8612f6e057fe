namespace Reliability.Rules;

/// <summary>Walks through a record in order: spells, segments, phases, duplicates. No hours are added up here.</summary>
internal sealed class Telling
{
    private readonly Asked _asked;
    private readonly Wrong _wrong;
    private readonly Story _story = new();
    private Phase _phase;
    private Spell? _spell;
    private Segment? _segment;
    private Spell? _lastSpell;
    private Fact? _shelfFailure;
    private int _ownMeters;
    private readonly Dictionary<string, int> _hostMeters = [];

    private Telling(Asked asked, Wrong wrong, Fact? registration)
    {
        (_asked, _wrong) = (asked, wrong);
        _story.Registration = registration;
        _phase = new() { First = true, Refurbishments = registration?.Refurbishments ?? 0, By = registration?.By };
        _story.Phases.Add(_phase);
    }

    private string OwnMeter => $"own {_ownMeters}";

    /// <summary>The story of these facts and single readings, in this order.</summary>
    public static Story Of(IReadOnlyList<(Fact Fact, Shown? Reading)> items, Asked asked, Wrong wrong)
    {
        var registration = items.Select(i => i.Fact).FirstOrDefault(f => f.Kind == Kind.Registered);
        var telling = new Telling(asked, wrong, registration);
        foreach (var (fact, reading) in items)
            telling.Take(fact, reading);
        return telling._story;
    }

    private string HostMeter(string host) => $"host {host} {_hostMeters.GetValueOrDefault(host)}";

    private void Take(Fact fact, Shown? reading)
    {
        switch (fact.Kind)
        {
            case Kind.Registered: Registered(fact); break;
            case Kind.Installed: Installed(fact); break;
            case Kind.Read: Read(fact, reading!.Value); break;
            case Kind.Output: Output(fact); break;
            case Kind.MeterChanged: MeterChanged(fact); break;
            case Kind.Failed: Failed(fact); break;
            case Kind.Removed: Removed(fact); break;
            case Kind.Repaired or Kind.Refurbished: Worked(fact); break;
            case Kind.Retired: Retired(fact); break;
            default: throw new InvalidOperationException($"{fact.Kind} is no part of the walk.");
        }
    }

    private void Add(Fact fact, Role role, long? hours, Window? when = null, string? meter = null) =>
        _story.Points.Add(new()
        {
            Fact = fact,
            Role = role,
            When = when ?? fact.When,
            Hours = hours,
            Segment = meter is null ? _segment : null,
            Meter = meter ?? _segment!.Meter,
        });

    private void Registered(Fact fact)
    {
        if (fact.Id != _story.Registration!.Id)
        {
            _story.Standings[fact.Id] = fact with { Id = "", PostedId = "", When = default }
                == _story.Registration with { Id = "", PostedId = "", When = default } ? Standing.Duplicate : Standing.Conflict;
            _story.Reached.Add("registered again");
        }
        else if (_spell is { OnHostMeter: false })
            Add(fact, Role.Registered, fact.Reading);
        else if (_spell is not null)
            Add(fact, Role.Registered, null);
        else
            Add(fact, Role.Registered, fact.Reading, meter: OwnMeter);
    }

    private void Installed(Fact fact)
    {
        if (_spell is not null)
        {
            _story.Reached.Add("installed while fitted");
            CutShort(fact);
        }

        Begin(new()
        {
            Phase = _phase,
            Install = fact,
            OnHostMeter = fact.HostMeter,
            MeterStops = fact.Stops ?? !fact.HostMeter,
        });
        Add(fact, Role.Installed, fact.Reading);
    }

    private void Begin(Spell spell)
    {
        _spell = _lastSpell = spell;
        _shelfFailure = null;
        _phase.Spells.Add(spell);
        _segment = new() { Spell = spell, Meter = spell.OnHostMeter ? HostMeter(spell.Install!.Host!) : OwnMeter };
        _story.Reached.Add(spell.OnHostMeter ? "spell on the host's meter" : "spell on the module's own meter");
    }

    // The removal is missing: the spell ended at the latest now.
    private void CutShort(Fact fact)
    {
        Add(fact, Role.SpellCutShort, null);
        _spell!.Open = false;
        (_spell, _segment) = (null, null);
    }

    private void Read(Fact fact, Shown reading)
    {
        if (_spell is not null && (fact.OfHost ?? _spell.OnHostMeter) == _spell.OnHostMeter)
            Add(fact, Role.Read, reading.Hours, reading.When);
        else
            _story.Reached.Add("reading where no meter counts");
    }

    private void Output(Fact fact)
    {
        if (_spell is not null)
            Add(fact, Role.Output, fact.Reading);
        else if (!TakeWithoutInstall(fact, Role.Output))
            _story.Reached.Add("output outside every spell");
    }

    private void MeterChanged(Fact fact)
    {
        var ofHost = fact.OfHost ?? _spell?.OnHostMeter;
        if (_spell is not null && ofHost == _spell.OnHostMeter)
        {
            if (_wrong == Wrong.MeterChangeIgnored)
            {
                Add(fact, Role.OldMeterEnds, fact.Final);
                return;
            }

            _story.Reached.Add(fact.Final is null || fact.First is null ? "meter change with a reading missing" : "meter change");
            Add(fact, Role.OldMeterEnds, fact.Final);
            Renumber(ofHost.Value);
            _segment = new() { Spell = _spell, Meter = _spell.OnHostMeter ? HostMeter(_spell.Install!.Host!) : OwnMeter };
            Add(fact, Role.NewMeterBegins, fact.First);
        }
        else if (ofHost == false)
            _ownMeters++;
    }

    private void Renumber(bool ofHost)
    {
        if (ofHost)
            _hostMeters[_spell!.Install!.Host!] = _hostMeters.GetValueOrDefault(_spell.Install.Host!) + 1;
        else
            _ownMeters++;
    }

    private void Failed(Fact fact)
    {
        if (_spell is null && _lastSpell is null)
        {
            TakeWithoutInstall(fact, Role.Failed);
            return;
        }

        var first = _spell?.Failure ?? (_spell is null ? _shelfFailure ?? FailureOf(_lastSpell!) : null);
        if (first is not null)
        {
            _story.Standings[fact.Id] = Standing.Duplicate;
            _story.Reached.Add("second report of a failure");
            if (_wrong == Wrong.DuplicateFailureCountedTwice)
                _phase.Ends.Add(fact);
            return;
        }

        if (_spell is not null)
        {
            Add(fact, Role.Failed, fact.Reading);
            _spell.Failure = fact;
        }
        else
        {
            _story.Reached.Add("failure on the shelf");
            _shelfFailure = fact;
        }

        _phase.Ends.Add(fact);
    }

    private Fact? FailureOf(Spell spell) =>
        spell.Failure ?? (spell.Removal is { Why: { } why } removal && why != Reason.LowOutput
            && _asked.On(why) == Verdict.Failed ? removal : null);

    private void Removed(Fact fact)
    {
        if (_spell is null)
        {
            if (_lastSpell is null)
                TakeWithoutInstall(fact, Role.Removed);
            else
            {
                _story.Standings[fact.Id] = Standing.Duplicate;
                _story.Reached.Add("second report of a removal");
            }

            return;
        }

        Add(fact, Role.Removed, fact.Reading);
        _spell.Removal = fact;
        _spell.Open = false;
        (_spell, _segment) = (null, null);
        _phase.Ends.Add(fact);
    }

    // "Install missing: on the module's own meter with a known reading at registration the life is computed; else listed as
    // excluded with the outcome reported."
    private bool TakeWithoutInstall(Fact fact, Role role)
    {
        var registered = _story.Points.Find(p => p.Role == Role.Registered);
        if (_phase.First && registered?.Hours is not null && _lastSpell is null && _phase.WithoutInstall.Count == 0)
        {
            _story.Reached.Add("install missing, hours from the module's own meter");
            Begin(new() { Phase = _phase, OnHostMeter = false, MeterStops = true });
            Add(_story.Registration!, Role.Installed, registered.Hours, registered.When);
            Take(fact, null);
            return true;
        }

        _story.Reached.Add("install missing");
        _story.Standings[fact.Id] = Standing.InstallMissing;
        if (role != Role.Output)
            _phase.WithoutInstall.Add(fact);
        return false;
    }

    private void Worked(Fact fact)
    {
        if (_spell is not null)
        {
            _story.Reached.Add("worked on while fitted");
            CutShort(fact);
        }

        if (fact.Before is not null)
            Add(fact, Role.Work, fact.Before, meter: OwnMeter);
        if (fact.After is not null)
            Add(fact, Role.Work, fact.After, meter: OwnMeter);

        var known = fact.Renewal != Renewal.Unknown;
        var renews = known ? fact.Renewal == Renewal.Yes
            : _wrong == Wrong.UnknownRenewalTakenAsYes || _asked.UnknownRenews == true;
        if (!known)
            _story.Reached.Add(_asked.UnknownRenews is { } said ? $"unknown renewal taken as {(said ? "yes" : "no")}" : "unknown renewal");
        if (renews)
        {
            _story.Reached.Add("renewal");
            Turn(new() { Refurbishments = _phase.Refurbishments + 1, By = fact.By });
        }
        else if (!known && _asked.UnknownRenews is null)
            Turn(new() { Refurbishments = _phase.Refurbishments, By = _phase.By, AfterUnknownWork = true });
        else
            _story.Reached.Add(_phase.Ends.Exists(f => f.Kind == Kind.Failed) ? "not renewed after a failure" : "not renewed");
    }

    private void Turn(Phase next)
    {
        _phase = next;
        _shelfFailure = null;
        _story.Phases.Add(next);
    }

    private void Retired(Fact fact)
    {
        if (_spell is not null)
        {
            _story.Reached.Add("retired while fitted");
            CutShort(fact);
        }

        if (fact.RetiredFailed && _lastSpell is not null && _shelfFailure is null && FailureOf(_lastSpell) is null)
        {
            _story.Reached.Add("retired as failed");
            _phase.Ends.Add(fact);
        }
    }
}
