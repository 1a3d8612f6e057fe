namespace Reliability.Rules;

/// <summary>
/// The rules of events and lives once more, written from their description in words and from nothing else: slow, simple, by
/// trying everything. For short records only.
/// </summary>
public static class Rules
{
    /// <summary>Tells the lives of one module.</summary>
    /// <param name="facts">Its record, in any order.</param>
    /// <param name="asked">Cut-off, policy and choices.</param>
    /// <param name="wrong">A rule to get wrong on purpose.</param>
    public static Told Tell(IReadOnlyList<Fact> facts, Asked asked, Wrong wrong = Wrong.Nothing)
    {
        var branches = new Branches();
        var standings = new Dictionary<string, Standing>();
        var counting = Selection.Of(facts, asked, wrong, standings, branches);
        var rows = counting.FindAll(f => f.Kind == Kind.Reported);
        var walked = counting.FindAll(f => f.Kind is not (Kind.Read or Kind.Reported));
        var reads = counting.FindAll(f => f.Kind == Kind.Read);
        var lives = new List<(Fact Row, ToldLife Life)>();
        Story? story = null;
        if (walked.Exists(f => f.Kind == Kind.Registered))
        {
            var order = Sequence.Of(walked, wrong, branches);
            story = Placement.Of(order, reads, asked, wrong, branches);
            foreach (var (id, standing) in story.Standings)
                standings[id] = standing;
            if (!asked.Models.ContainsKey(story.Registration!.Model))
                standings[story.Registration.Id] = Standing.ModelUnknown;
            MarkLeftOut(story, standings);
        }
        else
        {
            foreach (var fact in walked.Concat(reads))
            {
                standings[fact.Id] = Standing.NotRegistered;
                branches.Reach("not registered");
            }
        }

        lives.AddRange(Reports.Of(rows, story, asked, wrong, standings, branches));
        var told = lives.OrderBy(l => l.Row.Start.From).Select(l => l.Life).ToList();
        if (story is not null)
        {
            told.AddRange(story.Phases.SelectMany(phase => LifeTeller.Of(story, phase, asked, wrong)));
            foreach (var branch in story.Reached)
                branches.Reach(branch);
        }

        foreach (var life in told.Where(l => l.Left is not null))
            branches.Reach($"left out: {life.Left}");
        foreach (var doubt in told.Where(l => l.Doubts.Length > 0).SelectMany(l => l.Doubts.Split(' ')))
            branches.Reach($"doubt: {doubt}");
        return new(told, standings, branches);
    }

    // An event none of whose readings fits is left out, if readings are all it says.
    private static void MarkLeftOut(Story story, Dictionary<string, Standing> standings)
    {
        foreach (var points in story.Points.Where(p => p.Role == Role.Read).GroupBy(p => p.Fact.Id))
        {
            if (points.All(p => p.LeftOut))
                standings[points.Key] = Standing.LeftOut;
        }
    }
}
