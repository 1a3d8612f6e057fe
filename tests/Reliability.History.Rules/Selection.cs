namespace Reliability.Rules;

/// <summary>"Retracted", cut-off: which facts count at all.</summary>
internal static class Selection
{
    /// <summary>The facts that count, and the standing of those that do not.</summary>
    public static List<Fact> Of(
        IReadOnlyList<Fact> facts, Asked asked, Wrong wrong, Dictionary<string, Standing> standings, Branches branches)
    {
        var distinct = facts.GroupBy(fact => fact.Id).Select(same => same.First()).ToList();
        foreach (var fact in distinct)
            standings[fact.Id] = Standing.Counted;
        var counting = Corrected(distinct, wrong, standings, branches);
        var inTime = new List<Fact>();
        foreach (var fact in counting)
        {
            if (AtCutoff(fact, asked, wrong) is { } seen)
                inTime.Add(seen);
            else
            {
                standings[fact.Id] = Standing.AfterCutoff;
                branches.Reach("event after the cut-off");
            }
        }

        return inTime;
    }

    // "Retracted: it stays in the record and stops counting; retracting a Retracted restores its target." "Replaced: the wrong
    // event's source and id, and the right event", which counts in the place of the wrong one.
    private static List<Fact> Corrected(
        List<Fact> facts, Wrong wrong, Dictionary<string, Standing> standings, Branches branches)
    {
        Fact? TargetOf(Fact correction) => facts.Find(f => f.Source == correction.TargetSource && f.PostedId == correction.TargetId);

        bool InCircle(Fact correction)
        {
            var at = TargetOf(correction);
            for (var step = 0; at is not null && IsCorrection(at) && step < facts.Count; step++)
            {
                if (at.Id == correction.Id)
                    return true;
                at = TargetOf(at);
            }

            return false;
        }

        var corrections = facts.Where(f => IsCorrection(f) && TargetOf(f) is not null && !InCircle(f)).ToList();
        Standing StandingOf(Fact fact)
        {
            var by = corrections.FindAll(c => TargetOf(c) == fact).ConvertAll(c => (c.Kind, Now: StandingOf(c)));
            return by.Exists(c => c is (Kind.Replaced, Standing.Counted or Standing.Replaced)) ? Standing.Replaced
                : by.Exists(c => c is (Kind.Retracted, Standing.Counted)) ? Standing.Retracted
                : Standing.Counted;
        }

        // A replacement of a replacement stands where the first wrong event stood.
        string PlaceOf(Fact replacement)
        {
            var at = replacement;
            while (at.Kind == Kind.Replaced && corrections.Contains(at))
                at = TargetOf(at)!;
            return at.Id;
        }

        var counting = new List<Fact>();
        foreach (var fact in facts)
        {
            var standing = StandingOf(fact);
            if (standing == Standing.Counted && IsCorrection(fact) && !corrections.Contains(fact))
                standing = TargetOf(fact) is null ? Standing.TargetMissing : Standing.TargetCircular;
            if (standing == Standing.Counted && fact.Kind == Kind.Replaced)
            {
                var rivals = corrections.FindAll(c => c.Kind == Kind.Replaced && StandingOf(c) == Standing.Counted && PlaceOf(c) == PlaceOf(fact));
                var wins = rivals.OrderBy(c => c.When.From).ThenBy(c => c.Id, StringComparer.Ordinal).Last();
                if (wins != fact)
                    standing = wins.Right!.SaysTheSame(fact.Right!) ? Standing.Duplicate : Standing.Conflict;
                else
                    counting.Add(fact.Right! with { Id = fact.Id, PostedId = fact.PostedId, Source = fact.Source });
                branches.Reach(rivals.Count > 1 ? "two replacements of one event" : "replacement");
            }
            else if (!IsCorrection(fact) && (standing == Standing.Counted || wrong == Wrong.RetractionIgnored))
                counting.Add(fact);
            standings[fact.Id] = standing;
            if (standing is Standing.Retracted or Standing.Replaced or Standing.TargetCircular or Standing.TargetMissing)
                branches.Reach($"{(IsCorrection(fact) ? "correction" : "event")}: {standing}");
        }

        return counting;
    }

    private static bool IsCorrection(Fact fact) => fact.Kind is Kind.Retracted or Kind.Replaced;

    // One cut-off for failures and survivors alike; a day has happened when it has ended (decision 0005). A row that
    // reports a life is judged by the life's end, later.
    private static Fact? AtCutoff(Fact fact, Asked asked, Wrong wrong)
    {
        if (asked.Cutoff is not { } cutoff || fact.Kind == Kind.Reported)
            return fact;
        if (wrong == Wrong.CutoffOnFailuresOnly && fact.Kind is not (Kind.Failed or Kind.Removed))
            return fact;
        if (fact.Kind != Kind.Read)
            return fact.When.To <= cutoff ? fact : null;

        var readings = fact.Readings.Where(r => r.When.To <= cutoff).ToList();
        return readings.Count == 0 ? null : fact with { Readings = readings };
    }
}
