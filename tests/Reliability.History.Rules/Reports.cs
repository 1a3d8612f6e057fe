namespace Reliability.Rules;

/// <summary>
/// "LifeReported rows of one module with one start are reports of one life: the latest end wins, a failure over a survival,
/// falling age is a conflict flag; where a module has an event history, that wins".
/// </summary>
internal static class Reports
{
    public static List<(Fact Row, ToldLife Life)> Of(
        IEnumerable<Fact> rows, Story? story, Asked asked, Wrong wrong, Dictionary<string, Standing> standings, Branches branches)
    {
        var lives = new List<(Fact, ToldLife)>();
        var history = story?.Phases.SelectMany(p => p.Spells).FirstOrDefault()?.Install?.When.From;
        foreach (var same in rows.GroupBy(r => wrong == Wrong.EachReportALife ? r.Id : r.Start.ToString()))
        {
            var reports = same.OrderBy(r => r.End.To).ThenBy(r => r.ReportedFailed).ThenBy(r => r.Id, StringComparer.Ordinal).ToList();
            if (reports.Count > 1)
                branches.Reach("several reports of one life");
            var seen = reports.FindAll(r => asked.Cutoff is not { } cutoff || r.End.To <= cutoff);
            var wins = seen.Count > 0 ? seen[^1] : reports[^1];
            foreach (var other in reports.Where(r => r != wins))
                standings[other.Id] = seen.Contains(other) ? Standing.Superseded : Standing.AfterCutoff;
            if (history is { } begun && wins.End.To > begun)
            {
                branches.Reach("report of a life that has a history");
                reports.ForEach(r => standings[r.Id] = Standing.Superseded);
                continue;
            }

            var conflict = seen.Exists(r => seen.Exists(later => later.End.To > r.End.To && later.AgeAtEnd < r.AgeAtEnd));
            if (conflict)
                branches.Reach("falling age between reports");
            lives.Add((wins, Tell(wins, seen.Count == 0, conflict, story, asked, branches)));
        }

        return lives;
    }

    private static ToldLife Tell(Fact row, bool beyondCutoff, bool conflict, Story? story, Asked asked, Branches branches)
    {
        branches.Reach(row.ReportedFailed ? "reported failure" : "reported survival");
        var verdict = row.Why is { } why ? why == Reason.LowOutput ? asked.UnmeasuredLowOutput : asked.On(why) : Verdict.Survived;
        var failed = row.ReportedFailed || (!row.ReportedFailed && verdict == Verdict.Failed && row.Why != Reason.Failed);
        var entry = row.Age ?? 0;
        var lower = Math.Max(entry, row.LastWorking ?? 0);
        var other = failed && asked.Mode is { } mode && row.Mode != mode;
        var doubts = new List<Doubt>();
        if (!row.ReportedFailed && row.Why == Reason.LowOutput)
            doubts.Add(Doubt.UnmeasuredLowOutput);
        if (!row.ReportedFailed && row.Why == Reason.Other)
            doubts.Add(Doubt.OtherReason);
        if (other && row.Mode is null)
            doubts.Add(Doubt.ModeUnknown);
        if (conflict)
            doubts.Add(Doubt.Conflict);
        var exact = row.Moment || lower >= row.AgeAtEnd;
        var life = new ToldLife
        {
            FromReport = true,
            Refurbishments = row.Refurbishments,
            By = row.By,
            Site = row.Site,
            Entry = entry,
            EndedInFailure = failed && !other,
            Mode = failed && !other ? row.Mode : null,
            Why = row.Why,
            InService = row.ReportedInService,
            Flagged = conflict,
            Doubts = string.Join(' ', doubts.Order()),
            Left = Excluded(row, verdict, beyondCutoff, story, asked),
        };
        return !failed ? life with { End = End.Survived, Lower = row.AgeAtEnd }
            : other ? life with { End = End.Survived, Lower = exact ? row.AgeAtEnd : lower }
            : exact ? life with { End = End.Failed, Lower = row.AgeAtEnd, Upper = row.AgeAtEnd }
            : life with { End = End.Between, Lower = lower, Upper = row.AgeAtEnd };
    }

    // Decision 0005: a row is opened when its outcome is known, unless the module was registered before its end.
    private static Left? Excluded(Fact row, Verdict verdict, bool beyondCutoff, Story? story, Asked asked)
    {
        if (!asked.Models.ContainsKey(row.Model))
            return Left.ModelUnknown;
        if (beyondCutoff)
            return Left.BeyondCutoff;
        var opened = story?.Registration is not { } registered || registered.When.From >= row.End.From;
        if (opened && row.CompleteFrom is null)
            return Left.OpenedAfterOutcome;
        if (opened && row.End.To <= row.CompleteFrom)
            return Left.EndedBeforeComplete;
        if ((row.Age ?? 0) == 0 && (row.CompleteFrom is not { } complete || row.Start.From < complete))
            return Left.EntryAgeUnknown;
        if (verdict == Verdict.Excluded)
            return Left.ByPolicy;
        return row.AgeAtEnd <= (row.Age ?? 0) ? Left.NoExposure : null;
    }
}
