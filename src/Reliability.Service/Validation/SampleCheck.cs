using System.Globalization;
using Reliability.Engine.Abstractions;
using Reliability.Service.Errors;
using Reliability.Service.Hosting;
using Outcome = Reliability.V1.LifeObservation.OutcomeOneofCase;

namespace Reliability.Service.Validation;

/// <summary>Turns observations given inline into a sample, and tells of every one that breaks a rule.</summary>
internal static class SampleCheck
{
    /// <summary>Reads a sample; meaningless when violations were added.</summary>
    /// <param name="sample">The observations.</param>
    /// <param name="path">Where they stand in the request, such as <c>sample</c>.</param>
    /// <param name="violations">Gets what is wrong.</param>
    public static LifeSample Read(V1.InlineSample sample, string path, Violations violations)
    {
        var observations = sample.Observations;
        if (observations.Count == 0)
            violations.Add($"{path}.observations", "must have at least one observation");
        if (observations.Count > Limits.MaxObservations)
        {
            violations.AddLimit(
                $"{path}.observations",
                string.Create(CultureInfo.InvariantCulture,
                    $"must not have more than {Limits.MaxObservations:N0} observations; got {observations.Count:N0}. Use count for equal ones"));
            return LifeSample.Empty;
        }

        var builder = new LifeSampleBuilder(observations.Count);
        var before = violations.Count;
        for (var i = 0; i < observations.Count; i++)
        {
            var check = new ObservationCheck(observations[i], path, i, violations);
            if (check.IsRight())
                Add(builder, observations[i]);
        }

        return violations.Count == before ? builder.Build() : LifeSample.Empty;
    }

    private static void Add(LifeSampleBuilder builder, V1.LifeObservation row)
    {
        double count = row.HasCount ? row.Count : 1;
        double? plannedEnd = row.HasPlannedEndHours ? row.PlannedEndHours : null;
        switch (row.OutcomeCase)
        {
            case Outcome.FailureHours:
                builder.AddFailed(row.FailureHours, row.EntryHours, count, plannedEnd, row.FailureMode);
                break;
            case Outcome.SurvivalHours:
                builder.AddSurvived(row.SurvivalHours, row.EntryHours, count, plannedEnd);
                break;
            default:
                builder.AddBetween(
                    row.FailureInterval.LowerHours, row.FailureInterval.UpperHours, row.EntryHours, count, plannedEnd,
                    row.FailureMode);
                break;
        }
    }
}
