namespace Reliability.Rules;

/// <summary>
/// Puts readings and measured outputs into the segments in which they were taken, by time; where a day leaves it open, where
/// they fit between the readings with which the segment began and ended.
/// </summary>
internal static class Placement
{
    public static void Place(Story story, IEnumerable<Fact> reads, IEnumerable<Fact> outputs)
    {
        // "A reading is identified by (meter, occur_time, source)": the same one, posted again, is the same reading.
        var placed = new Dictionary<(Segment, string, Shown), Fact>();
        foreach (var fact in Sequence.AsPosted(reads))
        {
            bool repeated = false, fresh = false;
            foreach (var reading in fact.Readings)
            {
                if (Find(story, reading.When, fact.OfHost, reading.Hours, fact.PostedForHost) is { } segment)
                {
                    if (placed.TryAdd((segment, fact.Source, reading), fact))
                        Add(story, fact, Role.Read, reading, segment);
                    repeated |= placed[(segment, fact.Source, reading)] != fact;
                    fresh |= placed[(segment, fact.Source, reading)] == fact;
                    if (fact.PostedForHost is not null)
                        story.Reached.Add("reading posted for the host");
                }
                else if (fact.PostedForHost is null)
                {
                    fresh = true;
                    NotUsed(story, fact, reading.When);
                }
            }

            if (repeated && !fresh)
            {
                story.Reached.Add("reading posted again");
                story.Standings[fact.Id] = Standing.Duplicate;
            }
        }

        foreach (var fact in Sequence.AsPosted(outputs))
        {
            if (Find(story, fact.When, null, fact.Reading, null) is { } segment)
            {
                var point = fact.Reading is { } hours ? Add(story, fact, Role.Output, new(fact.When, hours), segment) : null;
                story.Outputs.Add(new(fact, point, segment.Spell, false));
            }
            else if (Shelved(story, fact.When) is { } spell)
            {
                story.Reached.Add("output measured on the shelf");
                story.Outputs.Add(new(fact, null, spell, true));
            }
            else
                NotUsed(story, fact, fact.When);
        }
    }

    private static Point Add(Story story, Fact fact, Role role, Shown shown, Segment segment)
    {
        var point = new Point
        {
            Fact = fact,
            Role = role,
            When = shown.When,
            Hours = shown.Hours,
            Meter = segment.Meter,
            Segment = segment,
        };
        story.Points.Add(point);
        return point;
    }

    private static void NotUsed(Story story, Fact fact, Window when)
    {
        story.Reached.Add("reading where no meter counts");
        if (story.Segments.Count == 0 || story.Segments[0].Start.From > when.From)
            story.Standings[fact.Id] = Standing.InstallMissing;
    }

    private static Segment? Find(Story story, Window when, bool? ofHost, long? hours, string? host)
    {
        // What came after the end of one segment came after all before it.
        var ended = story.Segments.FindLastIndex(s => s.End?.To <= when.From);
        var segments = story.Segments[(ended + 1)..].FindAll(s => (ofHost is null || s.Spell.OnHostMeter == ofHost)
            && (host is null || (s.Spell.OnHostMeter && s.Spell.Install!.Host == host)));
        var byTime = segments.FindAll(s => Began(story, s) <= when.From && !(s.End?.From <= when.From));
        var open = segments.FindAll(s => !byTime.Contains(s) && Overlap(story, s, when));
        if (open.Count > 0)
            story.Reached.Add("reading whose place in the day is open");
        return byTime.FindLast(s => Fits(s, when, hours)) ?? open.FindLast(s => Fits(s, when, hours)) ?? byTime.LastOrDefault();
    }

    private static bool Overlap(Story story, Segment segment, Window when) =>
        (Began(story, segment) <= when.From || Began(story, segment) < when.To) && (segment.End is not { } end || when.From < end.To);

    // No segment began before those before it, whatever its day says.
    private static long Began(Story story, Segment segment) => story.Segments[..(segment.Number + 1)].Max(s => s.Start.From);

    private static bool Fits(Segment segment, Window when, long? hours) =>
        hours is not { } shown || (Follows(segment.First?.When, segment.First?.Hours, when, shown)
            && Follows(when, shown, segment.Last?.When, segment.Last?.Hours));

    private static bool Follows(Window? one, long? hours, Window? next, long? nextHours) =>
        hours is null || nextHours is null
        || (nextHours >= hours && nextHours - hours <= Fitting.Clock(one!.Value, next!.Value));

    // A module that was taken out still has the output it had, until its wearing part is renewed.
    private static Spell? Shelved(Story story, Window when)
    {
        var spell = story.Segments.FindLast(s => Began(story, s) <= when.From)?.Spell;
        return spell?.End is not null && !(spell.Phase.ClosedBy?.When.From <= when.From) ? spell : null;
    }

    /// <summary>Whether something posted for a host may tell of the module: it was fitted there then, and that meter counted.</summary>
    public static bool Belongs(Story? story, Fact fact)
    {
        var spells = story?.Phases.SelectMany(p => p.Spells).Where(s => s.OnHostMeter && s.Install!.Host == fact.PostedForHost).ToList() ?? [];
        var windows = fact.Kind == Kind.Read ? fact.Readings.Select(r => r.When) : [fact.When];
        return windows.Any(when => spells.Exists(s => when.To >= s.Start.From && !(s.End?.To <= when.From)));
    }
}
