using Reliability.Cli.Answers;
using Reliability.Cli.Catalog;
using Reliability.Cli.Modules;
using Reliability.Cli.Terminals;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Predictions;

/// <summary>Predictions of a fleet for people: who has to act first is on top.</summary>
internal static class FleetTable
{
    /// <summary>Writes the predictions.</summary>
    public static void Write(Terminal terminal, IReadOnlyList<PredictFailuresResponse> answers)
    {
        List<Prediction> predictions =
        [
            .. answers.Where(answer => answer.Prediction is not null).Select(answer => answer.Prediction)
                .OrderBy(prediction => prediction.ActBeforeTime?.Seconds ?? long.MaxValue).ThenBy(prediction => prediction.Name, StringComparer.Ordinal),
        ];
        if (answers.Count == 0)
            terminal.Line("No module fits. Check the spelling: attributes and models list what is in use.");
        if (predictions.Count > 0)
            terminal.Line($"As of {NumberText.Minute(predictions[0].AsOfTime)}, accepted chance of failure {NumberText.Percent(predictions[0].RiskLimit)}.");
        bool withChance = predictions.Exists(prediction => prediction.BeforeTime is not null);
        string[] columns = ["Module", "Serial number", "Model", "Condition", "Site", "Act before", "Because of", "Rated hours on", "Age, h", "Hours a day", "Hours left (median)"];
        Table table = Tables.Of(withChance ? [.. columns, $"Chance of failure before {NumberText.Day(predictions[0].BeforeTime)}"] : columns)
            .Numbers(withChance ? [8, 9, 10, 11] : [8, 9, 10]).Whole(0, 1, 5, 7);
        foreach (Prediction prediction in predictions)
        {
            string[] cells =
            [
                ModelTables.Id(prediction.Name), ModuleTables.Serial(prediction.Identifiers), ModelTables.Id(prediction.ModuleModel),
                ModuleTables.Condition(prediction.Condition), prediction.Site,
                prediction.RatedHoursReached ? "now" : NumberText.Day(prediction.ActBeforeTime), PredictionTables.Because(prediction.ActBeforeReason), PredictionTables.RatedOn(prediction),
                NumberText.Range(prediction.EstimatedAge), EstimateText.Value(prediction.Usage?.HoursPerDay),
                EstimateText.Whole(prediction.MedianRemainingHours),
            ];
            table.Row(withChance ? [.. cells, EstimateText.Whole(prediction.FailureProbability)] : cells);
        }
        terminal.Write(table);
        foreach (NotPredicted none in answers.Where(answer => answer.NotPredicted is not null).Select(answer => answer.NotPredicted))
            terminal.Line($"{ModelTables.Id(none.Name)}: no prediction. {none.Text} [{none.Reason}]");
        WriteWarnings(terminal, predictions);
        terminal.Cautions(predictions.SelectMany(prediction => prediction.Cautions));
    }

    // Over a fleet the same warning comes in many wordings: one stands for its kind, with how many modules have it.
    private static void WriteWarnings(Terminal terminal, List<Prediction> predictions)
    {
        var kinds = predictions.SelectMany(prediction => prediction.Warnings.DistinctBy(warning => warning.Code))
            .GroupBy(warning => warning.Code).OrderByDescending(kind => kind.Count()).ToList();
        if (kinds.Count == 0)
            return;
        terminal.Line("To be known, of how many modules (predict ID tells each in full):");
        foreach (IGrouping<string, Warning> kind in kinds)
            terminal.Item($"{NumberText.Count(kind.Count())}: {kind.First().Text} [{kind.Key}]");
        terminal.Line();
    }
}
