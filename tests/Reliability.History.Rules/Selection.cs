namespace Reliability.Rules;

/// <summary>"Retracted", cut-off: which facts count at all.</summary>
internal static class Selection
{
    /// <summary>The facts that count, and the standing of those that do not.</summary>
    public static List<Fact> Of(
        IReadOnlyList<Fact> facts, Asked asked, Wrong wrong, Dictionary<string, Standing> standings, Branches branches)
    {
        var distinct = facts.GroupBy(fact => fact.Id).Select(same => same.First()).ToList();
        Fact? TargetOf(Fact retraction) =>
            distinct.Find(f => f.Source == retraction.TargetSource && f.PostedId == retraction.TargetId);

        bool InCircle(Fact retraction)
        {
            var at = TargetOf(retraction);
            for (var step = 0; at is { Kind: Kind.Retracted } && step < distinct.Count; step++)
            {
                if (at.Id == retraction.Id)
                    return true;
                at = TargetOf(at);
            }

            return false;
        }

        var retractions = distinct.Where(f => f.Kind == Kind.Retracted).ToList();
        var circular = retractions.Where(InCircle).Select(f => f.Id).ToHashSet();
        bool IsRetracted(Fact fact) =>
            retractions.Exists(r => !circular.Contains(r.Id) && TargetOf(r)?.Id == fact.Id && !IsRetracted(r));

        var counting = new List<Fact>();
        foreach (var fact in distinct)
        {
            standings[fact.Id] = Standing.Counted;
            if (IsRetracted(fact))
            {
                standings[fact.Id] = Standing.Retracted;
                branches.Reach(fact.Kind == Kind.Retracted ? "retraction of a retraction" : "retraction");
                if (wrong != Wrong.RetractionIgnored)
                    continue;
            }

            if (fact.Kind == Kind.Retracted)
            {
                if (circular.Contains(fact.Id) && standings[fact.Id] == Standing.Counted)
                {
                    standings[fact.Id] = Standing.TargetCircular;
                    branches.Reach("retractions in a circle");
                }
                else if (TargetOf(fact) is null && standings[fact.Id] == Standing.Counted)
                {
                    standings[fact.Id] = Standing.TargetMissing;
                    branches.Reach("retraction without a target");
                }

                continue;
            }

            if (AtCutoff(fact, asked, wrong) is { } seen)
                counting.Add(seen);
            else
            {
                standings[fact.Id] = Standing.AfterCutoff;
                branches.Reach("event after the cut-off");
            }
        }

        return counting;
    }

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
