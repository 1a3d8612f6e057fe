using Reliability.Rules;

namespace Reliability.History.ModelCheck;

/// <summary>A record and a question about it.</summary>
internal sealed record Case(int Seed, IReadOnlyList<Fact> Facts, Asked Asked);

/// <summary>
/// Invents short records: a module that really runs, and people who write down what they see, with gaps, mistyped numbers,
/// days instead of instants, repetitions and retractions. Biased towards the corners; one seed, one record.
/// </summary>
internal sealed class RandomRecord
{
    private static readonly string[] Modes = ["no flow", "noise"];
    private static readonly string[] Hosts = ["vent-3", "vent-4"];
    private static readonly string[] Sites = ["Quennick General", "Orrowby Infirmary"];

    private readonly Random _random;
    private readonly List<Fact> _facts = [];
    private readonly Dictionary<string, long> _hostMeters = [];
    private readonly double _days, _gaps, _typos, _oddities;
    private readonly bool _sameDay;
    private long _now, _ownMeter;
    private int _posted;
    private string _model = "blower";

    private RandomRecord(int seed)
    {
        _random = new(seed);
        // A record has its own habits: some are neat, some are full of gaps, some know only days.
        _days = Pick(0, 0, 0.2, 0.8);
        _gaps = Pick(0, 0.1, 0.4);
        _typos = Pick(0, 0, 0.1, 0.3);
        _oddities = Pick(0, 0, 0.05, 0.15);
        _sameDay = Chance(0.25);
        _now = _random.Next(24, 72);
        _ownMeter = Pick(0, 100, 700);
        foreach (var host in Hosts)
            _hostMeters[host] = _random.Next(0, 2000);
    }

    public static Case Of(int seed)
    {
        var made = new RandomRecord(seed);
        var asked = made.Question();
        if (made.Chance(0.15))
            made.Reports();
        if (!made._facts.Exists(f => f.Kind == Kind.Reported) || made.Chance(0.3))
            made.History();
        made.Corrections();
        return new(seed, made._facts, asked);
    }

    private Asked Question()
    {
        var versions = new List<Threshold> { new(0, Pick<long?>(70, 70, 80, null)) };
        if (Chance(0.3))
            versions.Add(new(_random.Next(24, 400), Pick<long?>(60, 85)));
        var overrides = new Dictionary<Reason, Verdict>();
        if (Chance(0.15))
            overrides[(Reason)_random.Next(9)] = (Verdict)_random.Next(3);
        return new()
        {
            Cutoff = Chance(0.2) ? _random.Next(60, 1500) : null,
            Mode = Chance(0.2) ? Pick("no flow", "output") : null,
            UnknownRenews = Chance(0.3) ? Chance(0.5) : null,
            UnmeasuredLowOutput = Chance(0.2) ? (Verdict)_random.Next(3) : Verdict.Survived,
            Overrides = overrides,
            Models = new Dictionary<string, IReadOnlyList<Threshold>> { ["blower"] = versions },
        };
    }

    private void History()
    {
        var ownMeter = Chance(0.5);
        if (Chance(0.03))
            _model = "unheard-of";
        var register = !Chance(0.03);
        var late = Chance(0.12);
        if (register && !late)
            Register(ownMeter);
        var spells = _random.Next(1, 4);
        for (var i = 0; i < spells && _facts.Count < 14; i++)
        {
            Spell(ownMeter);
            if (i + 1 < spells || Chance(0.3))
                Between(ownMeter);
        }

        if (Chance(0.1))
        {
            Pass();
            Post(Blank(Kind.Retired) with { RetiredFailed = Chance(0.4) });
        }

        if (register && late)
        {
            _now = Chance(0.5) ? _now + _random.Next(1, 60) : _random.NextInt64(24, _now + 1);
            Register(ownMeter);
        }
        else if (register && Chance(0.03))
            Register(ownMeter);
    }

    private void Register(bool ownMeter) =>
        Post(Blank(Kind.Registered) with
        {
            Model = _model,
            Age = Pick<long?>(0, 0, 0, 0, 300, 50, null),
            Refurbishments = Pick(0, 0, 0, 1),
            Reading = ownMeter && Chance(0.5) ? Shown(_ownMeter) : null,
            CompleteFrom = Chance(0.2) ? _random.Next(0, 600) : null,
        });

    private void Spell(bool ownMeter)
    {
        var host = Pick(Hosts);
        var onHost = Chance(0.05) ? ownMeter : !ownMeter;
        var rate = Pick(0.0, 0.3, 0.8, 1);
        Pass(0.5);
        long Meter() => onHost ? _hostMeters[host] : _ownMeter;
        void Run()
        {
            var passed = Pass();
            var hours = (long)(passed * rate);
            _hostMeters[host] += hours;
            _ownMeter += hours;
        }

        if (!Chance(0.06))
        {
            Post(Blank(Kind.Installed) with
            {
                Host = host,
                Site = Pick(Sites),
                HostMeter = onHost,
                Reading = Shown(Meter()),
                Stops = Chance(0.2) ? Chance(0.5) : null,
            });
        }

        var output = 100L;
        for (var n = _random.Next(0, 5); n > 0; n--)
        {
            Run();
            switch (_random.Next(10))
            {
                case 0:
                    var first = Pick(0, 0, _random.Next(0, 500));
                    var forHost = onHost && Chance(0.3);
                    var change = Blank(Kind.MeterChanged) with
                    {
                        Final = Shown(Meter()),
                        First = Shown(first),
                        OfHost = forHost ? true : Pick<bool?>(null, onHost, onHost, !onHost),
                        PostedForHost = forHost ? host : null,
                    };
                    Post(change);
                    if (Chance(0.15))
                    {
                        Pass(0.5);
                        Post(change);
                    }

                    if (onHost)
                        _hostMeters[host] = first;
                    else
                        _ownMeter = first;
                    break;
                case 1 or 2:
                    output = Chance(0.1) ? 100 : output - Pick(0, 10, 25, 35);
                    Post(Blank(Kind.Output) with { Percent = Math.Max(1, output), Reading = Shown(Meter()), InUnit = Chance(0.05) });
                    break;
                case 3 when _typos > 0:
                    // The meter starts again from nothing, and nobody writes it down.
                    if (onHost)
                        _hostMeters[host] = 0;
                    else
                        _ownMeter = 0;
                    break;
                default:
                    PostReading(Shown(Meter()) ?? Meter(), Pick<bool?>(null, null, onHost, Chance(0.1) ? !onHost : onHost),
                        onHost && Chance(0.2) ? Chance(0.1) ? Pick(Hosts) : host : null);
                    break;
            }
        }

        if (Chance(0.35))
        {
            Run();
            PostFailure(Meter());
            if (Chance(0.15))
            {
                Pass(0.5);
                PostFailure(Meter());
            }

            if (Chance(0.3))
            {
                Run();
                PostReading(Meter(), null);
            }
        }

        if (Chance(0.75))
        {
            Run();
            PostRemoval(Meter());
            if (Chance(0.08))
            {
                Pass(0.5);
                PostRemoval(Meter());
            }
        }
    }

    private void PostFailure(long meter) =>
        Post(Blank(Kind.Failed) with { Mode = Pick(Modes[0], Modes[1], null), Moment = Chance(0.3), Reading = Shown(meter) });

    private void PostRemoval(long meter) =>
        Post(Blank(Kind.Removed) with
        {
            Why = Chance(0.5) ? Pick(Reason.Failed, Reason.LowOutput, Reason.Planned) : (Reason)_random.Next(9),
            Reading = Shown(meter),
        });

    private void PostReading(long hours, bool? ofHost, string? forHost = null)
    {
        var fact = Blank(Kind.Read) with { OfHost = forHost is null ? ofHost : true, PostedForHost = forHost };
        Post(fact, when => fact with { Readings = [new(when, hours)] });
        if (Chance(0.05))
            Post(fact, when => fact with { Readings = [new(when, hours)] });
    }

    private void Between(bool ownMeter)
    {
        Pass(0.5);
        if (Chance(0.08))
            PostFailure(_ownMeter);
        if (Chance(0.05))
            PostReading(_ownMeter, Pick<bool?>(null, false));
        if (Chance(0.6))
        {
            var before = ownMeter && Chance(0.2) ? _ownMeter : (long?)null;
            Post(Blank(Chance(0.5) ? Kind.Repaired : Kind.Refurbished) with
            {
                By = Pick("Second Turn Bench", "Vennick Works", null),
                Renewal = (Renewal)_random.Next(3),
                Before = before,
                After = before is not null && Chance(0.5) ? before + _random.Next(0, 3) : null,
            });
        }
    }

    private void Reports()
    {
        var start = Window.Day(_random.Next(2, 20));
        for (var n = _random.Next(1, 4); n > 0; n--)
        {
            if (Chance(0.4))
                start = Window.Day(_random.Next(2, 40));
            var end = Window.Day((start.From / 24) + _random.Next(0, 40));
            var age = _random.Next(0, 900);
            var failed = Chance(0.5);
            _now = end.From;
            Post(Blank(Kind.Reported) with
            {
                Model = Chance(0.05) ? "unheard-of" : "blower",
                Refurbishments = Pick(0, 0, 1),
                Site = Pick(Sites),
                Start = start,
                End = end,
                Age = Pick<long?>(null, 0, 0, 100),
                AgeAtEnd = age,
                LastWorking = failed && Chance(0.6) ? _random.Next(0, age + 1) : null,
                ReportedFailed = failed,
                Moment = failed && Chance(0.3),
                Mode = failed ? Pick(Modes[0], Modes[1], null) : null,
                Why = Chance(0.6) ? Pick(Reason.Failed, Reason.LowOutput, Reason.Planned, Reason.Other) : null,
                ReportedInService = !failed && Chance(0.4),
                CompleteFrom = Chance(0.7) ? Pick(0, 0, 400) : null,
            });
        }
    }

    // Retractions of anything, of retractions too, of nothing, and in a circle; and the same post again.
    private void Corrections()
    {
        for (var n = Chance(0.2) ? _random.Next(1, 4) : 0; n > 0; n--)
        {
            _now += _random.Next(0, 20);
            var own = _facts.FindAll(f => f.PostedForHost is null);
            if (own.Count == 0)
                return;
            var wrong = Pick([.. own]);
            var target = Chance(0.1) ? "never-posted" : Chance(0.1) ? $"p{_posted + 1}" : wrong.PostedId;
            if (Chance(0.5))
                Post(Blank(Kind.Retracted) with { TargetSource = "quennick", TargetId = target });
            else
                Post(Blank(Kind.Replaced) with { TargetSource = "quennick", TargetId = target, Right = Corrected(wrong) });
        }

        if (_facts.Count > 0 && Chance(0.1))
            _facts.Add(Pick([.. _facts]));
    }

    // What should have been posted: the same with another reading, an hour later, or something else that happened.
    private Fact Corrected(Fact wrong)
    {
        var right = wrong.Kind is Kind.Retracted or Kind.Replaced || Chance(0.2) ? Pick([.. _facts]) : wrong;
        if (right.Kind is Kind.Retracted or Kind.Replaced)
            right = Blank(Kind.Output) with { When = Window.At(_now), Percent = 90 };
        return right with
        {
            Id = "",
            PostedId = "",
            PostedForHost = null,
            Reading = right.Reading is { } reading ? reading + _random.Next(-20, 20) is var other and >= 0 ? other : 0 : null,
        };
    }

    private static Fact Blank(Kind kind) => new() { Kind = kind, Id = "", PostedId = "", When = default };

    private void Post(Fact fact, Func<Window, Fact>? filled = null)
    {
        var when = Chance(_days) ? Window.Day(_now / 24) : Window.At(_now);
        var id = new byte[16];
        _random.NextBytes(id);
        _facts.Add((filled?.Invoke(when) ?? fact) with { Id = new Guid(id).ToString("D"), PostedId = $"p{_posted++}", When = when });
    }

    // Hours pass; in crowded records often none, or a few.
    private long Pass(double none = 0.05)
    {
        var hours = Chance(_sameDay ? 0.6 : none) ? _random.Next(0, 8) : _random.Next(8, 120);
        _now += hours;
        return hours;
    }

    // What somebody writes down: the reading, a mistyped one, or none.
    private long? Shown(long meter) =>
        Chance(_gaps) ? null
        : Chance(_typos) ? Pick(meter * 10, meter + 1000, Math.Max(0, meter - 90), meter / 10, 7)
        : meter;

    private bool Chance(double probability) => _random.NextDouble() < probability;

    private T Pick<T>(params ReadOnlySpan<T> from) => from[_random.Next(from.Length)];
}
