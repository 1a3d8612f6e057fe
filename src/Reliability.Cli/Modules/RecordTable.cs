using Reliability.Cli.Answers;
using Reliability.Cli.Terminals;
using Reliability.Files;
using Reliability.V1;
using Spectre.Console;

namespace Reliability.Cli.Modules;

/// <summary>A module's record for people. Notes and actors' ids stay out of it.</summary>
internal static class RecordTable
{
    /// <summary>Writes the record.</summary>
    public static void Write(Terminal terminal, IEnumerable<RecordedEvent> events)
    {
        Table table = Tables.Of("When", "Event", "Told", "Source", "Event id", "Standing").Whole(0);
        foreach (RecordedEvent recorded in events)
        {
            ModuleEvent posted = recorded.Event;
            table.Row(
                posted.OccurPrecision == OccurPrecision.Day ? NumberText.Day(posted.OccurTime) : NumberText.Minute(posted.OccurTime),
                EventKind.Of(posted), EventText.Of(posted), posted.Source, posted.EventId, Standing(recorded));
        }
        terminal.Write(table);
    }

    private static string Standing(RecordedEvent recorded)
    {
        string text = recorded.ReasonText.Length > 0
            ? $"{ContractWords.Of(recorded.Standing)}: {recorded.ReasonText}" : ContractWords.Of(recorded.Standing);
        return recorded.RelatedEventId.Length > 0 ? $"{text} See {recorded.RelatedSource} {recorded.RelatedEventId}." : text;
    }
}
