using System.Globalization;
using Reliability.Files.Json;
using Reliability.Service.Errors;
using Reliability.Service.Hosting;
using Outcome = Reliability.V1.LifeObservation.OutcomeOneofCase;

namespace Reliability.Service.Validation;

/// <summary>The rules of one observation. Paths are made only for what is wrong.</summary>
internal readonly ref struct ObservationCheck(V1.LifeObservation row, string path, int index, Violations violations)
{
    /// <summary>Whether the observation keeps all rules; tells of each it breaks.</summary>
    public bool IsRight()
    {
        var before = violations.Count;
        Hours(row.EntryHours, "entry_hours");
        if (row.HasCount && row.Count is < 1 or > Limits.MaxCount)
            Refuse("count", "must be between 1 and 1,000,000,000");
        switch (row.OutcomeCase)
        {
            case Outcome.FailureHours: Failure(); break;
            case Outcome.SurvivalHours: Survival(); break;
            case Outcome.FailureInterval: Interval(); break;
            default: Refuse(null, "must have one of failure_hours, survival_hours and failure_interval"); break;
        }

        if (row.HasPlannedEndHours)
            PlannedEnd();
        Text(row.FailureMode, "failure_mode");
        Text(row.Group, "group");
        foreach (var (name, value) in row.Covariates)
        {
            if (!double.IsFinite(value))
                Refuse($"covariates[{FieldPath.Printable(name)}]", "must be a finite number");
        }

        return violations.Count == before;
    }

    private void Failure()
    {
        if (!Hours(row.FailureHours, "failure_hours"))
            return;
        if (row.FailureHours == 0)
            Refuse("failure_hours", "must be more than 0; a module that never worked has no life to measure");
        else
            EntryBefore(row.FailureHours, "failure_hours");
    }

    private void Survival()
    {
        if (Hours(row.SurvivalHours, "survival_hours"))
            EntryBefore(row.SurvivalHours, "survival_hours");
    }

    private void Interval()
    {
        var (lower, upper) = (row.FailureInterval.LowerHours, row.FailureInterval.UpperHours);
        // Both are checked, so that both are told of.
        var lowerRight = Hours(lower, "failure_interval.lower_hours");
        if (!Hours(upper, "failure_interval.upper_hours") || !lowerRight)
            return;
        if (!(lower < upper))
            Refuse("failure_interval", $"must have lower_hours below upper_hours; got {Number(lower)} and {Number(upper)}");
        else if (row.EntryHours > lower)
            Refuse("entry_hours", $"must not be above failure_interval.lower_hours; got {Number(row.EntryHours)} and {Number(lower)}");
    }

    private void PlannedEnd()
    {
        if (!Hours(row.PlannedEndHours, "planned_end_hours"))
            return;
        var end = row.OutcomeCase switch
        {
            Outcome.FailureHours => row.FailureHours,
            Outcome.SurvivalHours => row.SurvivalHours,
            Outcome.FailureInterval => row.FailureInterval.UpperHours,
            _ => 0,
        };
        if (row.PlannedEndHours < end)
            Refuse("planned_end_hours", $"must not be before the observed end; got {Number(row.PlannedEndHours)} and {Number(end)}");
    }

    private void EntryBefore(double end, string name)
    {
        if (double.IsFinite(row.EntryHours) && row.EntryHours >= 0 && row.EntryHours >= end)
            Refuse("entry_hours", $"must be below {name}; got {Number(row.EntryHours)} and {Number(end)}");
    }

    private bool Hours(double hours, string name)
    {
        if (double.IsFinite(hours) && hours >= 0)
            return true;
        Refuse(name, "must be a finite number of run-hours, 0 or more; got " + Number(hours));
        return false;
    }

    private void Text(string text, string name)
    {
        if (text.Length > 100)
            Refuse(name, "must not be longer than 100 characters");
    }

    private void Refuse(string? name, string rule)
    {
        var row = string.Create(CultureInfo.InvariantCulture, $"{path}.observations[{index}]");
        violations.Add(name is null ? row : $"{row}.{name}", rule);
    }

    private static string Number(double value) => value.ToString("R", CultureInfo.InvariantCulture);
}
