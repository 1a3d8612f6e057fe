using Reliability.Engine.Abstractions;

namespace Reliability.Analysis;

/// <summary>
/// Samples like a given one under a fitted distribution: each life enters at its own age and fails or is stopped. A survivor
/// would have been stopped where it was; a failed life at its planned end where stated, else at an age drawn from the reverse
/// Kaplan-Meier estimate of ages of stopping beyond its failure.
/// </summary>
internal sealed class SimulatedLives
{
    private readonly List<(double Entry, double End, double FailedAt)> _lives = [];
    private readonly List<(double Age, double Survival)> _stops = [];

    private SimulatedLives()
    {
    }

    /// <summary>How unseen ends are drawn, in words.</summary>
    public string Plan { get; private set; } = "";

    /// <summary>Reads the plan of a sample; null when a count is no whole number or lives are too many.</summary>
    public static SimulatedLives? Of(LifeSample sample, int mostLives)
    {
        if (sample.TotalCount > mostLives)
            return null;
        var simulated = new SimulatedLives();
        var unstated = 0;
        for (var i = 0; i < sample.RowCount; i++)
        {
            var count = sample.Counts[i];
            if (count != Math.Floor(count))
                return null;
            var survived = sample.Outcomes[i] == LifeOutcome.Survived;
            var planned = sample.PlannedEndHours.IsEmpty ? double.NaN : sample.PlannedEndHours[i];
            var end = survived ? sample.LowerHours[i] : planned;
            if (double.IsNaN(end))
                unstated += (int)count;
            for (var k = 0; k < count; k++)
                simulated._lives.Add((sample.EntryHours[i], end, sample.UpperHours[i]));
        }

        simulated.ReadStops(sample);
        simulated.Plan = unstated == 0
            ? "Every life is stopped at its stated or planned end."
            : $"Survivors are stopped where they were; for {Words.Count(unstated, "failed life", "failed lives")} without a planned end "
                + "the end is drawn from the reverse Kaplan-Meier estimate of ages of stopping beyond the failure"
                + (simulated._stops.Count == 0 ? "; none was stopped, so none is." : ".");
        return simulated;
    }

    /// <summary>Draws a sample.</summary>
    public LifeSample Draw(ILifeFamily family, ReadOnlySpan<double> parameters, Random random)
    {
        var builder = new LifeSampleBuilder(_lives.Count);
        var entries = _lives.Select(life => life.Entry).ToArray();
        var logs = new double[entries.Length];
        family.LogSurvival(parameters, entries, logs);
        var fractions = new double[entries.Length];
        for (var i = 0; i < fractions.Length; i++)
        {
            // Alive at entry: the chance of lasting on is a uniform share of that of having come so far. No life on record ended below
            // 0 h, so none is drawn there where the distribution allows it.
            var atEntry = entries[i] > 0 || family.HasNegativeLives ? Math.Exp(logs[i]) : 1;
            fractions[i] = Math.Clamp(1 - atEntry * (1 - random.NextDouble()), double.Epsilon, 1 - 1e-16);
        }

        var hours = new double[entries.Length];
        family.Quantile(parameters, fractions, hours);
        for (var i = 0; i < hours.Length; i++)
        {
            var (entry, end, failedAt) = _lives[i];
            var stop = double.IsNaN(end) ? DrawEnd(failedAt, random.NextDouble()) : end;
            var life = Math.Max(hours[i], entry > 0 ? entry * (1 + 1e-12) : double.Epsilon);
            _ = life <= stop && double.IsFinite(life) ? builder.AddFailed(life, entry) : builder.AddSurvived(stop, entry);
        }

        return builder.Build();
    }

    private double DrawEnd(double beyond, double uniform)
    {
        double atFailure = 1;
        foreach (var (age, survival) in _stops)
        {
            if (age < beyond)
                atFailure = survival;
        }

        foreach (var (age, survival) in _stops)
        {
            if (age >= beyond && survival <= atFailure * uniform)
                return age;
        }

        return double.MaxValue;
    }

    private void ReadStops(LifeSample sample)
    {
        var rows = Enumerable.Range(0, sample.RowCount).ToArray();
        var exits = sample.UpperHours.ToArray();
        var entries = sample.EntryHours.ToArray();
        var counts = sample.Counts.ToArray();
        var stopped = sample.Outcomes.ToArray();
        double survival = 1;
        foreach (var group in rows.Where(i => stopped[i] == LifeOutcome.Survived).GroupBy(i => exits[i]).OrderBy(g => g.Key))
        {
            // A life that failed at an age can no more be stopped there.
            var watched = rows.Where(i => entries[i] < group.Key
                && (exits[i] > group.Key || (exits[i] == group.Key && stopped[i] == LifeOutcome.Survived))).Sum(i => counts[i]);
            survival *= Math.Max(0, 1 - group.Sum(i => counts[i]) / watched);
            _stops.Add((group.Key, survival));
        }
    }
}
