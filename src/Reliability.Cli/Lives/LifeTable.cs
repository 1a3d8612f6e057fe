using Reliability.Cli.Answers;
using Reliability.Cli.Catalog;
using Reliability.Cli.Modules;
using Reliability.Cli.Terminals;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Lives;

/// <summary>Lives for people: outcomes in words.</summary>
internal static class LifeTable
{
    /// <summary>Writes lives.</summary>
    public static void Write(Terminal terminal, ListLivesResponse answer)
    {
        Table table = Tables.Of("Module", "Life", "Model", "Condition", "Site", "Began", "Outcome", "Entry, h", "Left out or flagged").Numbers(1, 7).Whole(0, 5, 6);
        foreach (Life life in answer.Lives)
        {
            table.Row(
                ModelTables.Id(life.Module), NumberText.Count(life.LifeNumber), ModelTables.Id(life.ModuleModel), ModuleTables.Condition(life.Condition),
                life.Site, NumberText.Day(life.StartTime), Outcome(life.Observation), Entry(life.Observation), Oddities(life));
        }
        if (table.Rows.Count == 0)
            terminal.Line("No life fits. Check the spelling: attributes and models list what is in use.");
        terminal.Write(table);
        if (answer.ExcludedLives.Count > 0)
            terminal.Line($"Left out in the whole cohort: {SampleSummaryText.Reasons(answer.ExcludedLives)}.");
    }

    /// <summary>An outcome in words.</summary>
    public static string Outcome(LifeObservation? observation) => observation?.OutcomeCase switch
    {
        LifeObservation.OutcomeOneofCase.FailureHours => $"failed at {NumberText.Of(observation.FailureHours)} h",
        LifeObservation.OutcomeOneofCase.SurvivalHours => $"survived {NumberText.Of(observation.SurvivalHours)} h",
        LifeObservation.OutcomeOneofCase.FailureInterval =>
            $"failed between {NumberText.Of(observation.FailureInterval.LowerHours)} h and {NumberText.Of(observation.FailureInterval.UpperHours)} h",
        _ => NumberText.Absent,
    };

    private static string Entry(LifeObservation? observation) => observation is null ? NumberText.Absent : NumberText.Of(observation.EntryHours);

    private static string Oddities(Life life) => string.Join("; ", new[] { life.ExclusionText.Length > 0 ? life.ExclusionText : life.ExclusionReason }
        .Concat(life.Flags.Select(flag => flag.Text)).Where(text => text.Length > 0));
}
