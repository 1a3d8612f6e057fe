using System.CommandLine;
using Reliability.Cli.Answers;
using Reliability.Cli.Connections;
using Reliability.Cli.Fits;
using Reliability.Cli.Samples;
using Reliability.Plots.Survival;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Survival;

/// <summary>Estimates survival without a model.</summary>
internal sealed class SurvivalCommand(CommandContext context)
{
    private readonly LivesOptions _lives = new();
    private readonly RevisionOption _revision = new();
    private readonly PlotOption _plot = new();
    private readonly Option<double?> _confidence = new("--confidence") { Description = "The confidence level of bounds, two-sided; 0.95 when absent." };

    /// <summary>The command.</summary>
    public Command Create()
    {
        Command command = new("survival", "Estimate survival without a model: Kaplan-Meier and Nelson-Aalen.") { _confidence, _revision, _plot };
        _lives.AddTo(command);
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            string? plot = _plot.Read(parse);
            LivesChoice lives = await _lives.ReadAsync(parse, cancellation).ConfigureAwait(false);
            EstimateSurvivalRequest request = new() { MinimumRevision = _revision.Read(parse) };
            if (lives.Cohort is not null)
                request.Cohort = lives.Cohort;
            else
                request.Sample = lives.Sample;
            if (parse.GetValue(_confidence) is double confidence)
                request.ConfidenceLevel = confidence;
            EstimateSurvivalResponse response = await connection.Analysis.EstimateSurvivalAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
            if (plot is not null)
                SurvivalPlot.Save(Sheet(lives.Name, response), plot);
            return context.Answer(parse, response, answer =>
            {
                Write(lives.Name, answer);
                if (plot is not null)
                    context.Terminal.Line($"Drawn into {plot}");
            });
        });
    }

    private static SurvivalSheet Sheet(string name, EstimateSurvivalResponse answer) => new()
    {
        Title = $"Survival: {name}",
        BoundsLabel = $"{NumberText.Percent(answer.ConfidenceLevel)} bounds",
        Notes = [$"median {EstimateText.Whole(answer.Median)} h"],
        Cohorts =
        [
            new SurvivalCohort
            {
                Name = name,
                OldestAgeHours = answer.SampleSummary?.OldestAgeHours ?? 0,
                Steps = [.. answer.Points.Select(point => new SurvivalStep(
                    point.Hours,
                    point.Reliability is { HasValue: true } ? point.Reliability.Value : null,
                    point.Reliability is { HasLower: true } ? point.Reliability.Lower : null,
                    point.Reliability is { HasUpper: true } ? point.Reliability.Upper : null))],
            },
        ],
    };

    private void Write(string name, EstimateSurvivalResponse answer)
    {
        context.Terminal.Line($"Survival without a model: {name}. {NumberText.Percent(answer.ConfidenceLevel)} bounds. "
            + $"Median life: {EstimateText.Whole(answer.Median)} h.");
        Table table = Tables.Of("Age, h", "At risk", "Failed", "Surviving (Kaplan-Meier)", "Lower", "Upper", "Cumulative hazard (Nelson-Aalen)", "Lower", "Upper")
            .Numbers(0, 1, 2, 3, 4, 5, 6, 7, 8);
        foreach (SurvivalPoint point in answer.Points)
        {
            table.Row(
                NumberText.Of(point.Hours), NumberText.Of(point.AtRisk), NumberText.Of(point.Failures),
                EstimateText.Value(point.Reliability), EstimateText.Lower(point.Reliability), EstimateText.Upper(point.Reliability),
                EstimateText.Value(point.CumulativeHazard), EstimateText.Lower(point.CumulativeHazard), EstimateText.Upper(point.CumulativeHazard));
        }
        context.Terminal.Write(table);
        context.Terminal.Warnings(answer.Warnings);
        SampleSummaryText.Write(context.Terminal, answer.SampleSummary);
    }
}
