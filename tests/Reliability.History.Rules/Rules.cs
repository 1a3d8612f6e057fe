namespace Reliability.Rules;

/// <summary>
/// The rules of events and lives once more, written from their description in words and from nothing else: slow, simple, by
/// trying everything. For short records only.
/// </summary>
public static class Rules
{
    /// <summary>
    /// Tells the lives of one module: one answer, or several where days leave the order open and the description does not say
    /// which of equally good orders counts.
    /// </summary>
    /// <param name="facts">Its record, in any order.</param>
    /// <param name="asked">Cut-off, policy and choices.</param>
    /// <param name="wrong">A rule to get wrong on purpose.</param>
    public static List<Told> Tell(IReadOnlyList<Fact> facts, Asked asked, Wrong wrong = Wrong.Nothing)
    {
        var branches = new Branches();
        var standings = new Dictionary<string, Standing>();
        var counting = Selection.Of(facts, asked, wrong, standings, branches);
        var walked = Sequence.AsPosted(counting.FindAll(f => f.Kind is not (Kind.Read or Kind.Output or Kind.Reported)));
        if (!walked.Exists(f => f.Kind == Kind.Registered))
        {
            foreach (var fact in counting.Where(f => f.Kind != Kind.Reported && f.PostedForHost is null))
            {
                standings[fact.Id] = Standing.NotRegistered;
                branches.Reach("not registered");
            }

            return [Tell(facts, null, counting, asked, wrong, standings, branches)];
        }

        // Registered again with other words or the same: the first stands.
        var again = walked.FindAll(f => f.Kind == Kind.Registered)[1..];
        foreach (var fact in again)
        {
            standings[fact.Id] = Standing.Duplicate;
            branches.Reach("registered again");
        }

        return Sequence.Of(walked.Except(again), wrong, branches)
            .ConvertAll(order => Tell(facts, order, counting, asked, wrong, new(standings), branches));
    }

    private static Told Tell(
        IReadOnlyList<Fact> facts, List<Fact>? order, List<Fact> counting, Asked asked, Wrong wrong, Dictionary<string, Standing> standings, Branches branches)
    {
        Story? story = null;
        if (order is not null)
        {
            var reads = counting.FindAll(f => f.Kind == Kind.Read);
            story = Telling.Of(order, reads, asked, wrong);
            Placement.Place(story, reads, counting.FindAll(f => f.Kind == Kind.Output));
            Fitting.Mark(story, wrong);
            foreach (var (id, standing) in story.Standings)
                standings[id] = standing;
            if (!asked.Models.ContainsKey(story.Registration.Model))
                standings[story.Registration.Id] = Standing.ModelUnknown;
            MarkLeftOut(story, standings);
        }

        var lives = new Reports(story, asked, wrong, standings, branches).Of(counting.FindAll(f => f.Kind == Kind.Reported));
        if (story is not null)
        {
            lives.AddRange(story.Phases.SelectMany(phase => LifeTeller.Of(story, phase, asked, wrong)));
            foreach (var branch in story.Reached)
                branches.Reach(branch);
        }

        // Of a host's record only what tells of the module is shown in its own.
        foreach (var fact in facts.Where(f => f.PostedForHost is not null && !Placement.Belongs(story, f)))
            standings.Remove(fact.Id);

        foreach (var life in lives.Where(l => l.Left is not null))
            branches.Reach($"left out: {life.Left}");
        foreach (var doubt in lives.Where(l => l.Doubts.Length > 0).SelectMany(l => l.Doubts.Split(' ')))
            branches.Reach($"doubt: {doubt}");
        return new(lives, standings, branches) { LeftOpen = story?.LeftOpen == true };
    }

    // An event none of whose readings fits is left out, if readings are all it says.
    private static void MarkLeftOut(Story story, Dictionary<string, Standing> standings)
    {
        foreach (var points in story.Points.Where(p => p.Role == Role.Read && p.Fact.Kind == Kind.Read).GroupBy(p => p.Fact.Id))
        {
            if (points.Count() == points.First().Fact.Readings.Count && points.All(p => p.Piece != 0))
                standings[points.Key] = Standing.LeftOut;
        }
    }
}
