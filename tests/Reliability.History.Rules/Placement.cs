namespace Reliability.Rules;

/// <summary>
/// Puts single readings between the other facts, by time. Where a day leaves it open, where they fit: of all placements the
/// one with the most readings that count, of equal ones the first.
/// </summary>
internal static class Placement
{
    /// <summary>The story with the readings in place and marked.</summary>
    public static Story Of(List<Fact> order, IEnumerable<Fact> reads, Asked asked, Wrong wrong, Branches branches)
    {
        var readings = reads.SelectMany(f => f.Readings.Select(r => (Fact: f, Reading: r)))
            .OrderBy(r => r.Reading.When.From).ThenBy(r => r.Reading.When.To).ThenBy(r => r.Reading.Hours)
            .ThenBy(r => r.Fact.Id, StringComparer.Ordinal).ToList();
        var places = readings.ConvertAll(r => Places(order, r.Reading.When));
        Story? best = null;
        var most = -1;
        foreach (var placed in Choices(places, []))
        {
            var items = new List<(Fact, Shown?)>();
            for (var slot = 0; slot <= order.Count; slot++)
            {
                for (var i = 0; i < readings.Count; i++)
                {
                    if (placed[i] == slot)
                        items.Add((readings[i].Fact, readings[i].Reading));
                }

                if (slot < order.Count)
                    items.Add((order[slot], null));
            }

            var story = Telling.Of(items, asked, wrong);
            var fitting = Fitting.Mark(story, wrong);
            if (fitting > most)
                (best, most) = (story, fitting);
        }

        if (places.Exists(p => p.Count > 1))
            branches.Reach("reading whose place in the day is open");
        return best!;
    }

    // A reading stands behind what was certainly before it, and before what was certainly after it. At one instant it comes
    // behind all but a retirement.
    private static List<int> Places(List<Fact> order, Window when)
    {
        int first = 0, last = order.Count;
        for (var i = 0; i < order.Count; i++)
        {
            var fact = order[i];
            if (Before(fact, when))
                first = i + 1;
            if (last == order.Count && After(fact, when))
                last = i;
        }

        return first > last ? [first] : [.. Enumerable.Range(first, last - first + 1)];
    }

    private static bool Before(Fact fact, Window when) =>
        fact.When.To <= when.From && !(fact.Kind == Kind.Retired && fact.When == when);

    private static bool After(Fact fact, Window when) =>
        when.IsDay ? fact.When.From >= when.To
        : fact.When.From > when.From || (fact.Kind == Kind.Retired && fact.When == when);

    private static IEnumerable<List<int>> Choices(List<List<int>> places, List<int> chosen)
    {
        if (chosen.Count == places.Count)
        {
            yield return chosen;
            yield break;
        }

        foreach (var place in places[chosen.Count])
        {
            chosen.Add(place);
            foreach (var rest in Choices(places, chosen))
                yield return rest;
            chosen.RemoveAt(chosen.Count - 1);
        }
    }
}
