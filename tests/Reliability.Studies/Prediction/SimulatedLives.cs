using Reliability.Engine.Abstractions;

namespace Reliability.Studies.Prediction;

/// <summary>Draws the samples of one cell.</summary>
internal sealed class SimulatedLives
{
    private readonly PredictionCell _cell;
    private readonly double _length;

    /// <summary>Finds how long lives must be watched for the wanted share to fail.</summary>
    public SimulatedLives(PredictionCell cell)
    {
        _cell = cell;
        if (cell.Plan != WatchPlan.ToFailure)
            _length = Solve(length => FailedShare(length) - (1 - cell.Censored));
    }

    /// <summary>The next sample.</summary>
    public LifeSample Draw(SplitMix random)
    {
        var builder = new LifeSampleBuilder(_cell.Lives);
        if (_cell.Plan == WatchPlan.ToFailure)
        {
            var ages = Enumerable.Range(0, _cell.Lives).Select(_ => _cell.AgeAt(random.Next())).Order().ToList();
            for (var i = 0; i < ages.Count; i++)
            {
                if (i < _cell.Failures)
                    builder.AddFailed(ages[i]);
                else
                    builder.AddSurvived(ages[_cell.Failures - 1]);
            }

            return builder.Build();
        }

        for (var i = 0; i < _cell.Lives; i++)
        {
            var (entry, end) = Watched(random.Next(), i);
            var life = _cell.AgeAt(random.Next() * _cell.Survival(entry));
            if (life > end)
                builder.AddSurvived(end, entry);
            else if (_cell.Visits == 0)
                builder.AddFailed(life, entry);
            else
                AddFound(builder, life, entry, end);
        }

        return builder.Build();
    }

    /// <summary>Known between the visits before and after, the last of which is at the end of watching.</summary>
    private void AddFound(LifeSampleBuilder builder, double life, double entry, double end)
    {
        var step = _cell.Visits * _length;
        var before = Math.Floor((life - entry) / step);
        var from = entry + before * step;
        var to = Math.Min(from + step, end);
        if (from < life && life <= to)
            builder.AddBetween(from, to, entry);
        else
            builder.AddFailed(life, entry);
    }

    private (double Entry, double End) Watched(double even, int life) => _cell.Plan switch
    {
        WatchPlan.ToAge => (0, _length),
        WatchPlan.Staggered => (0, even * _length),
        WatchPlan.Rated => (0, Math.Min(even, 0.7) * _length),
        WatchPlan.HalfLate when life % 2 == 0 => (0, _length),
        _ => (even, even + _length),
    };

    private double FailedShare(double length)
    {
        const int Points = 2000;
        double sum = 0;
        for (var i = 0; i < Points; i++)
        {
            var even = (i / 2 + 0.5) / (Points / 2);
            var (entry, end) = _cell.Plan switch
            {
                WatchPlan.ToAge => (0, length),
                WatchPlan.Staggered => (0, even * length),
                WatchPlan.Rated => (0, Math.Min(even, 0.7) * length),
                WatchPlan.HalfLate when i % 2 == 0 => (0.0, length),
                _ => (even, even + length),
            };
            sum += 1 - _cell.Survival(end) / _cell.Survival(entry);
        }

        return sum / Points;
    }

    private static double Solve(Func<double, double> rising)
    {
        double low = 1e-9, high = 1e9;
        for (var i = 0; i < 200; i++)
        {
            var middle = Math.Sqrt(low * high);
            if (rising(middle) < 0)
                low = middle;
            else
                high = middle;
        }

        return Math.Sqrt(low * high);
    }
}
