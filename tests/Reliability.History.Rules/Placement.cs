namespace Reliability.Rules;

/// <summary>
/// Puts readings and measured outputs into the segments in which they were taken, by time; where a day leaves it open, where
/// they fit between the readings with which the segment began and ended.
/// </summary>
internal static class Placement
{
    public static void Place(Story story, IEnumerable<Fact> reads, IEnumerable<Fact> outputs)
    {
        foreach (var fact in reads)
        {
            foreach (var reading in fact.Readings)
            {
                if (Find(story, reading.When, fact.OfHost, reading.Hours) is { } segment)
                    Add(story, fact, Role.Read, reading, segment);
                else
                    NotUsed(story, fact, reading.When);
            }
        }

        foreach (var fact in Sequence.AsPosted(outputs))
        {
            if (Find(story, fact.When, null, fact.Reading) is { } segment)
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

    private static Segment? Find(Story story, Window when, bool? ofHost, long? hours)
    {
        var segments = story.Segments.FindAll(s => ofHost is null || s.Spell.OnHostMeter == ofHost);
        var byTime = segments.FindAll(s => s.Start.From <= when.From && !(s.End?.From <= when.From));
        var open = segments.FindAll(s => !byTime.Contains(s) && Overlap(s, when));
        if (open.Count > 0)
            story.Reached.Add("reading whose place in the day is open");
        return byTime.FindLast(s => Fits(s, when, hours)) ?? open.FindLast(s => Fits(s, when, hours)) ?? byTime.LastOrDefault();
    }

    private static bool Overlap(Segment segment, Window when) =>
        (segment.Start.From <= when.From || segment.Start.From < when.To) && (segment.End is not { } end || when.From < end.To);

    private static bool Fits(Segment segment, Window when, long? hours) =>
        hours is not { } shown || (Follows(segment.First?.When, segment.First?.Hours, when, shown)
            && Follows(when, shown, segment.Last?.When, segment.Last?.Hours));

    private static bool Follows(Window? one, long? hours, Window? next, long? nextHours) =>
        hours is null || nextHours is null
        || (nextHours >= hours && nextHours - hours <= Fitting.Clock(one!.Value, next!.Value));

    // A module that was taken out still has the output it had, until its wearing part is renewed.
    private static Spell? Shelved(Story story, Window when)
    {
        var spell = story.Segments.FindLast(s => s.Start.From <= when.From)?.Spell;
        return spell?.End is not null && !(spell.Phase.ClosedBy?.When.From <= when.From) ? spell : null;
    }
}
