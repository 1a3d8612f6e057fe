using Reliability.Cli.Answers;
using Reliability.Cli.Terminals;
using Reliability.Plots.Survival;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Survival;

/// <summary>Survival without a model, for people.</summary>
internal static class SurvivalAnswerText
{
    /// <summary>Writes the answer as lines and tables.</summary>
    public static void Write(Terminal terminal, string name, EstimateSurvivalResponse answer)
    {
        bool turnbull = answer.Method == SurvivalMethod.Turnbull;
        terminal.Line(turnbull
            ? $"Survival without a model: {name}, by Turnbull's estimate: some failures are known only between two ages. "
                + $"Median life: {EstimateText.Whole(answer.Median)} h."
            : $"Survival without a model: {name}. {NumberText.Percent(answer.ConfidenceLevel)} bounds. "
                + $"Median life: {EstimateText.Whole(answer.Median)} h.");
        if (answer.RestrictedMean is { } mean)
        {
            terminal.Line($"Mean life counted up to {NumberText.Of(mean.AgeLimitHours)} h ({Basis(mean.LimitBasis)}): "
                + $"{EstimateText.Whole(mean.Mean)} h.");
        }
        terminal.Write(turnbull ? Stretches(answer) : Ages(answer));
        if (answer.Incidences.Count > 0)
            terminal.Write(Incidences(answer));
        terminal.Warnings(answer.Warnings);
        SampleSummaryText.Write(terminal, answer.SampleSummary);
    }

    /// <summary>The answer as a sheet that can be drawn.</summary>
    public static SurvivalSheet Sheet(string name, EstimateSurvivalResponse answer) => new()
    {
        Title = $"Survival: {name}",
        BoundsLabel = answer.Method == SurvivalMethod.Turnbull
            ? "Turnbull, falls within the shaded stretches"
            : $"Kaplan-Meier, {NumberText.Percent(answer.ConfidenceLevel)} bounds",
        Notes =
        [
            $"median {EstimateText.Whole(answer.Median)} h",
            .. answer.HasEarliestEntryHours ? (string[])[$"of lives that reached {NumberText.Of(answer.EarliestEntryHours)} h"] : [],
        ],
        Cohorts =
        [
            new SurvivalCohort
            {
                Name = name,
                EarliestEntryHours = answer.HasEarliestEntryHours ? answer.EarliestEntryHours : 0,
                OldestAgeHours = answer.SampleSummary?.OldestAgeHours ?? 0,
                Steps = [.. answer.Points.Select(point => new SurvivalStep(
                    point.Hours,
                    point.Reliability is { HasValue: true } ? point.Reliability.Value : null,
                    point.Reliability is { HasLower: true } ? point.Reliability.Lower : null,
                    point.Reliability is { HasUpper: true } ? point.Reliability.Upper : null)
                {
                    LowerHours = point.HasLowerHours ? point.LowerHours : null,
                })],
            },
        ],
    };

    private static string Basis(RestrictedMean.Types.LimitBasis basis) => basis switch
    {
        RestrictedMean.Types.LimitBasis.Request => "as asked",
        RestrictedMean.Types.LimitBasis.RatedHours => "rated hours",
        RestrictedMean.Types.LimitBasis.OldestAge => "the oldest age",
        _ => NumberText.Absent,
    };

    private static Table Ages(EstimateSurvivalResponse answer)
    {
        Table table = Tables.Of("Age, h", "At risk", "Failed", "Surviving (Kaplan-Meier)", "Lower", "Upper", "Cumulative hazard (Nelson-Aalen)", "Lower", "Upper")
            .Numbers(0, 1, 2, 3, 4, 5, 6, 7, 8);
        foreach (SurvivalPoint point in answer.Points)
        {
            table.Row(
                NumberText.Of(point.Hours), NumberText.Of(point.AtRisk), NumberText.Of(point.Failures),
                EstimateText.Value(point.Reliability), EstimateText.Lower(point.Reliability), EstimateText.Upper(point.Reliability),
                EstimateText.Value(point.CumulativeHazard), EstimateText.Lower(point.CumulativeHazard), EstimateText.Upper(point.CumulativeHazard));
        }
        return table;
    }

    private static Table Stretches(EstimateSurvivalResponse answer)
    {
        Table table = Tables.Of("Falls after, h", "Up to, h", "Surviving (Turnbull)", "Cumulative hazard").Numbers(0, 1, 2, 3);
        foreach (SurvivalPoint point in answer.Points)
        {
            table.Row(
                point.HasLowerHours ? NumberText.Of(point.LowerHours) : "at", NumberText.Of(point.Hours),
                EstimateText.Value(point.Reliability), EstimateText.Value(point.CumulativeHazard));
        }
        return table;
    }

    private static Table Incidences(EstimateSurvivalResponse answer)
    {
        Table table = Tables.Of("Failed by", "Age, h", "Failed", "Share failed (Aalen-Johansen)", "Lower", "Upper").Numbers(1, 2, 3, 4, 5);
        foreach (ModeIncidence incidence in answer.Incidences)
        {
            foreach (IncidencePoint point in incidence.Points)
            {
                table.Row(
                    incidence.FailureMode.Length > 0 ? incidence.FailureMode : "unknown",
                    NumberText.Of(point.Hours), NumberText.Of(point.Failures),
                    EstimateText.Value(point.Incidence), EstimateText.Lower(point.Incidence), EstimateText.Upper(point.Incidence));
            }
        }
        return table;
    }
}
