using Reliability.Cli.Answers;
using Reliability.Cli.Terminals;
using Spectre.Console;

namespace Reliability.Cli.Posting;

/// <summary>Tells people what became of their files.</summary>
internal static class PostReportText
{
    private const int CodesShown = 20;

    /// <summary>Writes a table of the files, and below it what needs a look.</summary>
    public static void Write(Terminal terminal, IReadOnlyList<PostReport> reports, bool dryRun)
    {
        Table table = Tables.Of("File", "Rows", dryRun ? "Would be recorded" : "Recorded", "Already there", "Not counting yet", "Refused").Numbers(1, 2, 3, 4, 5).Whole(0);
        foreach (PostReport report in reports)
        {
            table.Row(report.File, NumberText.Count(report.Rows), NumberText.Count(report.Recorded), NumberText.Count(report.AlreadyThere),
                NumberText.Count(report.Unresolved.Values.Sum()), NumberText.Count(report.Refused));
        }
        terminal.Write(table);
        foreach ((string reason, long count) in Sums(reports.SelectMany(report => report.Unresolved)))
            terminal.Line($"Not counting yet: {NumberText.Count(count)} {reason}. They count once what they rest on comes.");
        foreach ((string reason, long count) in Sums(reports.SelectMany(report => report.Ignored)))
            terminal.Line($"Ignored by the mapping: {NumberText.Counted(count, "row", "rows")} ({reason}).");
        foreach (UnknownCodeCount code in reports.SelectMany(report => report.UnknownCodes).Take(CodesShown))
        {
            string missing = code.Table.Length > 0 ? $"is not in tables.{code.Table}" : "is taken by no rule";
            terminal.Line($"Refused for a code: {NumberText.Counted(code.Count, "row", "rows")}, {code.Column} = \"{code.Code}\" {missing} of the mapping.");
        }
        long ahead = reports.Sum(report => report.InFuture);
        if (ahead > 0)
            terminal.Line($"Dates in the future: {NumberText.Counted(ahead, "event lies", "events lie")} more than a day ahead of this machine's clock, taken as they stand.");
        foreach (PostReport report in reports.Where(report => report.RefusalFile is not null))
            terminal.Line($"Refused rows of {report.File}, with reasons: {report.RefusalFile}");
        string revision = reports.Count > 0 ? reports[^1].Revision : "";
        if (revision.Length > 0)
            terminal.Line($"Revision: {revision}");
    }

    private static IEnumerable<(string Reason, long Count)> Sums(IEnumerable<KeyValuePair<string, long>> counts) =>
        counts.GroupBy(pair => pair.Key).Select(group => (group.Key, group.Sum(pair => pair.Value)));
}
