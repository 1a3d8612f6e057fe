using Reliability.History.Events;

namespace Reliability.History.Tests.KnownTruth;

/// <summary>
/// A module whose true lives are known, and the record that a hospital would have of it: read rarely while it works, found
/// failed late, with mistyped readings, opened before or after the outcome.
/// </summary>
internal sealed class SimulatedModule
{
    private const double Shape = 2.2;
    private const double Scale = 4_000;
    private const double MistypedShare = 0.05;

    private readonly int _slipsInALife;
    private readonly Random _random;
    private readonly Scenario.History _history = new();
    private readonly double _end;
    private readonly double _rate;
    private double _day;
    private int _slips;

    /// <summary>Simulates a module.</summary>
    /// <param name="seed">Gives the same module again.</param>
    /// <param name="slipsInALife">How many readings of one life may be mistyped, at one in twenty.</param>
    public SimulatedModule(int seed, int slipsInALife)
    {
        _slipsInALife = slipsInALife;
        _random = new Random(seed);

        _rate = 4 + (14 * _random.NextDouble());
        _end = 400 + (900 * _random.NextDouble());
        OpenedLate = _random.NextDouble() < 0.25;
        AgeAtEntry = OpenedLate || _random.NextDouble() < 0.6 ? 0 : Math.Round(1_500 * _random.NextDouble());
        if (!OpenedLate)
            _history.Registered(0, AgeAtEntry);
        _day = 1 + (50 * _random.NextDouble());
        for (var life = 0; life < 3 && _day < _end; life++)
            Live(life == 0 ? AgeAtEntry : 0);
        if (OpenedLate)
            _history.Registered(_end + 1, 0);
    }

    public bool OpenedLate { get; }

    public double AgeAtEntry { get; }

    /// <summary>True run-hours at failure of each life begun.</summary>
    public List<double> TrueLives { get; } = [];

    public Scenario.History History => _history;

    // A life that is known to have reached the entry age.
    private void Live(double entry)
    {
        var survival = Math.Exp(-Math.Pow(entry / Scale, Shape)) * (1 - _random.NextDouble());
        var life = Scale * Math.Pow(-Math.Log(survival), 1 / Shape);
        TrueLives.Add(life);
        _slips = 0;

        // The host has run for long: a digit too few or too many outruns the clock, and can be told from use.
        var meter = 40_000 + Math.Round(30_000 * _random.NextDouble());
        var start = _day;
        Install(meter);
        var failsOn = start + ((life - entry) / _rate);
        var planned = start + (3_500 / _rate);
        var interval = 20 + (200 * _random.NextDouble());
        var stops = Math.Min(Math.Min(failsOn, planned), _end);
        for (var read = start + interval; read < stops; read += interval)
            Read(read, meter + ((read - start) * _rate));

        if (stops >= _end)
        {
            _day = _end;
            return;
        }

        // A planned removal shows it working; a failure is found days later, while the host's meter runs on.
        _day = stops;
        if (stops < failsOn)
        {
            _history.Removed(_day, Typed(meter + ((_day - start) * _rate)));
        }
        else
        {
            _day += 1 + (40 * _random.NextDouble());
            _history.Failed(_day, Typed(meter + ((_day - start) * _rate)));
            _day += 3;
            _history.Removed(_day, Typed(meter + ((_day - start) * _rate)), RemovalReason.Failed);
        }

        _day += 10;
        _history.Refurbished(_day);
        _day += 10;
    }

    private void Install(double meter) => _history.OnHost(_day, Typed(meter));

    private void Read(double day, double hours) => _history.Read(day, Typed(hours));

    private double Typed(double hours)
    {
        if (_slips >= _slipsInALife || _random.NextDouble() >= MistypedShare)
            return hours;
        _slips++;
        return _random.Next(2) == 0 ? hours * 10 : Math.Floor(hours / 10);
    }
}
