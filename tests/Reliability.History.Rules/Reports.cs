namespace Reliability.Rules;

/// <summary>
/// "LifeReported rows of one module with one start are reports of one life: the latest end wins, a failure over a survival,
/// falling age is a conflict flag; where a module has an event history, that wins".
/// </summary>
internal sealed class Reports(
    Story? story, Asked asked, Wrong wrong, Dictionary<string, Standing> standings, Branches branches)
{
    public List<ToldLife> Of(List<Fact> rows)
    {
        var lives = new List<ToldLife>();
        var history = story?.Phases.SelectMany(p => p.Spells).Select(s => (long?)s.Start.From).Min();
        foreach (var same in rows.GroupBy(r => wrong == Wrong.EachReportALife ? r.Id : $"{r.Start.From}").OrderBy(g => g.First().Start.From))
        {
            if (same.Count() > 1)
                branches.Reach("several reports of one life");
            foreach (var row in same.Where(IsBeyond))
                standings[row.Id] = Standing.AfterCutoff;
            if (same.All(IsBeyond))
            {
                // It went on at the cut-off, at an age that the row does not tell: listed, so that it is seen to be missing.
                var first = same.OrderBy(r => r.End.From).ThenBy(r => r.Id, StringComparer.Ordinal).First();
                if (first.Start.To > asked.Cutoff || first.End.From > history)
                    continue;
                branches.Reach("reported beyond the cut-off");
                lives.Add(Blank(first) with { Left = Left.BeyondCutoff });
                if (!asked.Models.ContainsKey(first.Model))
                    standings[first.Id] = Standing.ModelUnknown;
                continue;
            }

            var reports = same.Where(r => !IsBeyond(r)).OrderBy(r => r.End.From).ThenBy(r => r.ReportedFailed).ThenBy(r => r.AgeAtEnd)
                .ThenBy(r => r.CompleteFrom ?? long.MinValue).ThenByDescending(r => r.Id, StringComparer.Ordinal).ToList();
            var wins = reports[^1];
            foreach (var other in reports.SkipLast(1))
                standings[other.Id] = other.SaysTheSame(wins) ? Standing.Duplicate : Standing.Superseded;
            if (!asked.Models.ContainsKey(wins.Model))
                standings[wins.Id] = Standing.ModelUnknown;
            if (wins.End.From > history)
            {
                branches.Reach("report of a life that has a history");
                standings[wins.Id] = Standing.Superseded;
            }
            else
            {
                // Decision 0005: the source declares from when it lists every life; a row that does not repeat it takes nothing back.
                var declared = reports.Where(r => r.Source == wins.Source).Select(r => r.CompleteFrom).Max();
                lives.Add(Tell(wins with { CompleteFrom = wins.CompleteFrom ?? declared }, Conflict(reports)));
            }
        }

        return lives;
    }

    private bool IsBeyond(Fact row) => row.End.To > asked.Cutoff;

    private static ToldLife Blank(Fact row) => new()
    {
        FromReport = true,
        Refurbishments = row.Refurbishments,
        By = row.By,
        Site = row.Site,
    };

    // Age falls, a failed life goes on, or one end has two ages. The life is flagged when that is said against the row that
    // counts.
    private (bool Any, bool OfOutcome) Conflict(List<Fact> reports)
    {
        var wins = reports[^1];
        bool Contradicts(Fact row) =>
            reports[..reports.IndexOf(row)].Exists(b => b.AgeAtEnd > row.AgeAtEnd || (b.ReportedFailed && !row.ReportedFailed));
        var twoAges = reports.Exists(r => r.End.From == wins.End.From && r.AgeAtEnd != wins.AgeAtEnd);
        var any = twoAges || reports.Exists(Contradicts);
        if (any)
            branches.Reach("reports of one life contradict each other");
        return (any, twoAges || Contradicts(wins));
    }

    private ToldLife Tell(Fact row, (bool Any, bool OfOutcome) conflict)
    {
        branches.Reach(row.ReportedFailed ? "reported failure" : "reported survival");
        var verdict = row.ReportedFailed ? Verdict.Failed
            : row.Why is null or Reason.Failed ? Verdict.Survived
            : row.Why == Reason.LowOutput && asked.On(Reason.LowOutput) != Verdict.Survived
                ? wrong == Wrong.UnmeasuredLowOutputAsFailure ? Verdict.Failed : asked.UnmeasuredLowOutput
            : wrong == Wrong.PlannedRemovalAsFailure && row.Why == Reason.Planned ? Verdict.Failed
            : asked.On(row.Why.Value);
        var mode = row.ReportedFailed ? row.Mode ?? (row.Why == Reason.LowOutput ? "output" : null)
            : row.Why == Reason.LowOutput ? "output" : row.Mode;
        var (left, entry) = Entry(row);
        var lower = Math.Max(entry, Math.Min(row.LastWorking ?? 0, row.AgeAtEnd));
        var exact = (row.ReportedFailed && row.Moment) || lower >= row.AgeAtEnd || wrong == Wrong.DiscoveryTakenAsExact;
        var failed = verdict == Verdict.Failed;
        var other = failed && asked.Mode is { } asking && mode != asking;
        var doubts = new List<Doubt>();
        if (!row.ReportedFailed && row.Why is Reason.LowOutput or Reason.Other)
            doubts.Add(row.Why == Reason.Other ? Doubt.OtherReason : Doubt.UnmeasuredLowOutput);
        if (other && mode is null)
            doubts.Add(Doubt.ModeUnknown);
        if (conflict.Any)
            doubts.Add(Doubt.Conflict);
        var survived = !failed || other;
        var age = other && !exact ? lower : row.AgeAtEnd;
        return Blank(row) with
        {
            Entry = wrong == Wrong.LateEntryAsZero ? 0 : entry,
            End = survived ? End.Survived : exact ? End.Failed : End.Between,
            Lower = survived || exact ? age : lower,
            Upper = survived ? null : row.AgeAtEnd,
            EndedInFailure = !survived,
            Mode = survived ? null : mode,
            Why = row.Why,
            InService = row.ReportedInService && !failed,
            Flagged = conflict.OfOutcome,
            Doubts = string.Join(' ', doubts.Order()),
            Left = !asked.Models.ContainsKey(row.Model) ? Left.ModelUnknown
                : left ?? (verdict == Verdict.Excluded ? Left.ByPolicy : age <= entry ? Left.NoExposure : null),
        };
    }

    // Decision 0005: a row is opened when its outcome is known, unless the module was registered before its end; it needs
    // complete_from even where it states an age at observation.
    private (Left? Left, long Hours) Entry(Fact row)
    {
        if (story?.Registration is { } registered && Before(registered.When, row.End)
            && (row.Age ?? (Before(row.Start, registered.When) ? null : 0)) is { } seen)
            return (null, seen);
        if (row.CompleteFrom is not { } complete)
            return (wrong == Wrong.OpenedAfterOutcomeAdmitted ? null : Left.OpenedAfterOutcome, row.Age ?? 0);
        if (Before(row.End, Window.At(complete)))
            return (Left.EndedBeforeComplete, row.Age ?? 0);
        var begunWithin = row.Start.From >= complete;
        return row.Age is { } stated && (begunWithin || stated > 0) ? (null, stated)
            : begunWithin ? (null, 0)
            : (Left.EntryAgeUnknown, 0);
    }

    private static bool Before(Window one, Window next) => one.To <= next.From && one.From < next.From;
}
