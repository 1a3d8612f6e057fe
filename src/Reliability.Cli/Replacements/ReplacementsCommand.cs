using System.CommandLine;
using Reliability.Cli.Answers;
using Reliability.Cli.Terminals;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Replacements;

/// <summary>Estimates how many replacements positions need.</summary>
internal sealed class ReplacementsCommand(CommandContext context)
{
    private readonly Argument<string> _sheet = new("file") { Description = "A CSV file of positions: position, start_hours, end_hours, replacement_hours." };
    private readonly Option<double?> _confidence = new("--confidence") { Description = "The confidence level of bounds, two-sided; 0.95 when absent." };

    /// <summary>The command.</summary>
    public Command Create()
    {
        Command command = new("replacements", "Estimate how many replacements positions need on average as their hours go on.") { _sheet, _confidence };
        return context.Asking(command, async (connection, parse, cancellation) =>
        {
            EstimateReplacementsRequest request = new();
            (IReadOnlyList<PositionHistory> positions, IReadOnlyList<string> notes) =
                await PositionSheet.ReadAsync(parse.GetRequiredValue(_sheet), context.Rows, cancellation).ConfigureAwait(false);
            request.Positions.AddRange(positions);
            if (parse.GetValue(_confidence) is double confidence)
                request.ConfidenceLevel = confidence;
            EstimateReplacementsResponse response =
                await connection.Analysis.EstimateReplacementsAsync(request, cancellationToken: cancellation).ConfigureAwait(false);
            return context.Answer(parse, response, answer => Write(context.Terminal, answer, notes));
        });
    }

    private static void Write(Terminal terminal, EstimateReplacementsResponse answer, IReadOnlyList<string> notes)
    {
        terminal.Line($"{answer.ReplacementCount} replacements at {answer.PositionCount} positions in {NumberText.Of(answer.TotalRunHours)} run-hours. "
            + $"{NumberText.Percent(answer.ConfidenceLevel)} bounds.");
        Table table = Tables.Of("Hours of the position", "Watched", "Replaced", "Replacements of a position so far, mean", "Lower", "Upper").Numbers(0, 1, 2, 3, 4, 5);
        foreach (ReplacementPoint point in answer.Points)
        {
            table.Row(
                NumberText.Of(point.Hours), NumberText.Of(point.AtRisk), NumberText.Of(point.Replacements),
                EstimateText.Value(point.MeanReplacements), EstimateText.Lower(point.MeanReplacements), EstimateText.Upper(point.MeanReplacements));
        }
        terminal.Write(table);
        foreach (string note in notes)
            terminal.Line(note);
        terminal.Warnings(answer.Warnings);
    }
}
