using System.Globalization;

namespace Reliability.Engine.Abstractions;

/// <summary>
/// Collects rows into a <see cref="LifeSample"/>. Each method checks its row and throws <see cref="ArgumentException"/>
/// (with the parameter's name) for one that cannot be: hours must be finite and not negative, a failure must be after
/// 0 h, an end must be after the entry age, an interval must be half-open (lower, upper] with entry &lt;= lower &lt; upper.
/// </summary>
public sealed class LifeSampleBuilder
{
    private const int UnknownMode = -1;

    private readonly List<LifeOutcome> _outcomes;
    private readonly List<double> _lower;
    private readonly List<double> _upper;
    private readonly List<double> _entries;
    private readonly List<double> _counts;
    private readonly List<double> _plannedEnds;
    private readonly List<string> _modeNames = [];
    private readonly Dictionary<string, int> _modeOf = new(StringComparer.Ordinal);

    // Made when the first mode is stated, so that a sample without modes pays nothing for them.
    private List<int>? _modes;
    private bool _anyPlannedEnd;

    /// <summary>Starts an empty sample.</summary>
    /// <param name="capacity">Rows to make room for.</param>
    public LifeSampleBuilder(int capacity = 0)
    {
        _outcomes = new(capacity);
        _lower = new(capacity);
        _upper = new(capacity);
        _entries = new(capacity);
        _counts = new(capacity);
        _plannedEnds = new(capacity);
    }

    /// <summary>Rows added so far.</summary>
    public int RowCount => _outcomes.Count;

    /// <summary>Adds lives that failed at a known age.</summary>
    /// <param name="hours">Age at failure in hours, above 0 and above the entry age.</param>
    /// <param name="entryHours">Age at which observation began, 0 or more.</param>
    /// <param name="count">Lives the row stands for, above 0.</param>
    /// <param name="plannedEndHours">Age at which the life would have been stopped, if known; not below <paramref name="hours"/>.</param>
    /// <param name="failureMode">How the failure showed; null or empty when nobody knows.</param>
    /// <returns>This builder.</returns>
    /// <exception cref="ArgumentException">A value breaks its rule.</exception>
    public LifeSampleBuilder AddFailed(
        double hours, double entryHours = 0, double count = 1, double? plannedEndHours = null, string? failureMode = null)
    {
        CheckHours(hours, nameof(hours));
        if (hours == 0)
        {
            throw new ArgumentException(
                "A failure at 0 hours has no place on a life model's time axis (it never entered service); "
                + "state the interval in which it failed instead.", nameof(hours));
        }

        CheckEntry(entryHours, hours, nameof(hours));
        return Add(LifeOutcome.Failed, hours, hours, entryHours, count, plannedEndHours, failureMode);
    }

    /// <summary>Adds lives that were still working at an age.</summary>
    /// <param name="hours">Age last seen working in hours, above the entry age.</param>
    /// <param name="entryHours">Age at which observation began, 0 or more.</param>
    /// <param name="count">Lives the row stands for, above 0.</param>
    /// <param name="plannedEndHours">Age at which the life would have been stopped, if known; not below <paramref name="hours"/>.</param>
    /// <returns>This builder.</returns>
    /// <exception cref="ArgumentException">A value breaks its rule.</exception>
    public LifeSampleBuilder AddSurvived(double hours, double entryHours = 0, double count = 1, double? plannedEndHours = null)
    {
        CheckHours(hours, nameof(hours));
        CheckEntry(entryHours, hours, nameof(hours));
        return Add(LifeOutcome.Survived, hours, hours, entryHours, count, plannedEndHours, null);
    }

    /// <summary>Adds lives that failed at an unknown age in (lower, upper].</summary>
    /// <param name="lowerHours">Age last known working, not below the entry age; equal to it (or 0) for what is called left-censored.</param>
    /// <param name="upperHours">Age by which the failure was found, above <paramref name="lowerHours"/>.</param>
    /// <param name="entryHours">Age at which observation began, 0 or more.</param>
    /// <param name="count">Lives the row stands for, above 0.</param>
    /// <param name="plannedEndHours">Age at which the life would have been stopped, if known; not below <paramref name="upperHours"/>.</param>
    /// <param name="failureMode">How the failure showed; null or empty when nobody knows.</param>
    /// <returns>This builder.</returns>
    /// <exception cref="ArgumentException">A value breaks its rule.</exception>
    public LifeSampleBuilder AddBetween(
        double lowerHours, double upperHours, double entryHours = 0, double count = 1, double? plannedEndHours = null,
        string? failureMode = null)
    {
        CheckHours(lowerHours, nameof(lowerHours));
        CheckHours(upperHours, nameof(upperHours));
        if (!(lowerHours < upperHours))
        {
            throw new ArgumentException(
                $"The interval (lower, upper] must have lower below upper; got lower {Text(lowerHours)}, upper {Text(upperHours)}.",
                nameof(lowerHours));
        }

        CheckHours(entryHours, nameof(entryHours));
        if (entryHours > lowerHours)
        {
            throw new ArgumentException(
                $"The entry age must not be above the interval's lower end; got entry {Text(entryHours)}, lower {Text(lowerHours)}.",
                nameof(entryHours));
        }

        return Add(LifeOutcome.Between, lowerHours, upperHours, entryHours, count, plannedEndHours, failureMode);
    }

    /// <summary>Adds all rows of a sample.</summary>
    /// <param name="sample">The sample to append.</param>
    /// <returns>This builder.</returns>
    public LifeSampleBuilder AddRange(LifeSample sample)
    {
        ArgumentNullException.ThrowIfNull(sample);
        AddModes(sample);
        _outcomes.AddRange(sample.Outcomes);
        _lower.AddRange(sample.LowerHours);
        _upper.AddRange(sample.UpperHours);
        _entries.AddRange(sample.EntryHours);
        _counts.AddRange(sample.Counts);
        if (sample.PlannedEndHours.IsEmpty)
        {
            _plannedEnds.AddRange(Enumerable.Repeat(double.NaN, sample.RowCount));
        }
        else
        {
            _plannedEnds.AddRange(sample.PlannedEndHours);
            _anyPlannedEnd = true;
        }

        return this;
    }

    /// <summary>Makes the sample; the builder may be used on.</summary>
    /// <returns>An immutable sample of the rows added so far.</returns>
    public LifeSample Build() => new(
        [.. _outcomes], [.. _lower], [.. _upper], [.. _entries], [.. _counts], _anyPlannedEnd ? [.. _plannedEnds] : [],
        _modes is null ? [] : [.. _modes], [.. _modeNames]);

    private LifeSampleBuilder Add(
        LifeOutcome outcome, double lower, double upper, double entry, double count, double? plannedEndHours,
        string? failureMode)
    {
        if (!double.IsFinite(count) || count <= 0)
            throw new ArgumentException($"A count must be a finite number above 0; got {Text(count)}.", nameof(count));
        if (plannedEndHours is { } end)
        {
            CheckHours(end, nameof(plannedEndHours));
            if (end < upper)
            {
                throw new ArgumentException(
                    $"The planned end must not be before the observed end; got {Text(end)}, observed {Text(upper)}.",
                    nameof(plannedEndHours));
            }

            _anyPlannedEnd = true;
        }

        if (!string.IsNullOrEmpty(failureMode))
            Modes().Add(PlaceOf(failureMode));
        else
            _modes?.Add(UnknownMode);
        _outcomes.Add(outcome);
        _lower.Add(lower);
        _upper.Add(upper);
        _entries.Add(entry);
        _counts.Add(count);
        _plannedEnds.Add(plannedEndHours ?? double.NaN);
        return this;
    }

    /// <summary>The column of modes, as long as the other columns.</summary>
    private List<int> Modes()
    {
        if (_modes is null)
        {
            _modes = new List<int>(_outcomes.Capacity);
            _modes.AddRange(Enumerable.Repeat(UnknownMode, _outcomes.Count));
        }

        return _modes;
    }

    private int PlaceOf(string mode)
    {
        if (_modeOf.TryGetValue(mode, out var place))
            return place;
        _modeOf.Add(mode, _modeNames.Count);
        _modeNames.Add(mode);
        return _modeNames.Count - 1;
    }

    private void AddModes(LifeSample sample)
    {
        if (sample.FailureModes.IsEmpty)
        {
            _modes?.AddRange(Enumerable.Repeat(UnknownMode, sample.RowCount));
            return;
        }

        int[] places = [.. sample.FailureModeNames.Select(PlaceOf)];
        var modes = Modes();
        foreach (var mode in sample.FailureModes)
            modes.Add(mode < 0 ? UnknownMode : places[mode]);
    }

    private static void CheckHours(double hours, string name)
    {
        if (!double.IsFinite(hours) || hours < 0)
            throw new ArgumentException($"Hours must be a finite number, 0 or more; got {Text(hours)}.", name);
    }

    private static void CheckEntry(double entryHours, double end, string endName)
    {
        CheckHours(entryHours, nameof(entryHours));
        if (!(entryHours < end))
        {
            throw new ArgumentException(
                $"The entry age must be below {endName}; got entry {Text(entryHours)}, {endName} {Text(end)}.",
                nameof(entryHours));
        }
    }

    private static string Text(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
