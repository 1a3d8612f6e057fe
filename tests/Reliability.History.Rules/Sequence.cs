namespace Reliability.Rules;

/// <summary>
/// "Order": by occurrence, at equal times by kind, then by id. What is known to the day may move within its day when only
/// that makes the record possible: of all orders that the days allow, those with the fewest impossible steps, and of those
/// the ones with the fewest moves. Tried out one by one.
/// </summary>
internal static class Sequence
{
    /// <summary>By occurrence, kind and id.</summary>
    public static List<Fact> AsPosted(IEnumerable<Fact> facts) =>
        [.. facts.OrderBy(f => f.When.From).ThenBy(f => f.Kind).ThenBy(f => f.Id, StringComparer.Ordinal)];

    /// <summary>The order in which facts other than readings count.</summary>
    public static List<Fact> Of(IEnumerable<Fact> facts, Wrong wrong, Branches branches)
    {
        var posted = AsPosted(facts);
        var least = Impossible(posted);
        if (wrong == Wrong.DaysNeverMove || least == 0)
            return posted;

        var best = posted;
        var fewest = 0;
        foreach (var order in Allowed(posted, [], new bool[posted.Count]))
        {
            var impossible = Impossible(order);
            var moves = Moves(posted, order);
            if (impossible < least || (impossible == least && moves < fewest))
                (best, least, fewest) = ([.. order], impossible, moves);
        }

        if (fewest > 0)
            branches.Reach("day moved");
        return best;
    }

    private static IEnumerable<List<Fact>> Allowed(List<Fact> posted, List<Fact> begun, bool[] taken)
    {
        if (begun.Count == posted.Count)
        {
            yield return begun;
            yield break;
        }

        for (var i = 0; i < posted.Count; i++)
        {
            if (taken[i] || Enumerable.Range(0, posted.Count).Any(j => j != i && !taken[j] && MustPrecede(posted, j, i)))
                continue;
            taken[i] = true;
            begun.Add(posted[i]);
            foreach (var order in Allowed(posted, begun, taken))
                yield return order;
            begun.RemoveAt(begun.Count - 1);
            taken[i] = false;
        }
    }

    // Two instants never change places; a day and what happened within it may.
    private static bool MustPrecede(List<Fact> posted, int one, int other)
    {
        var (first, second) = (posted[one].When, posted[other].When);
        if (!first.IsDay && !second.IsDay)
            return one < other;
        return first.To <= second.From && (first.IsDay || first.From < second.From);
    }

    // The least number of facts to take out and put elsewhere: all but the longest part that keeps its order.
    private static int Moves(List<Fact> posted, List<Fact> order)
    {
        var places = order.Select(f => posted.IndexOf(f)).ToList();
        var longest = new int[places.Count];
        for (var i = 0; i < places.Count; i++)
            longest[i] = 1 + Enumerable.Range(0, i).Where(j => places[j] < places[i]).Select(j => longest[j]).DefaultIfEmpty(0).Max();
        return places.Count - longest.DefaultIfEmpty(0).Max();
    }

    // Steps that cannot happen to a real module: fitted twice, taken out of nothing, worked on while fitted, ...
    private static int Impossible(List<Fact> order)
    {
        bool registered = false, fitted = false, failed = false, everFitted = false, retired = false;
        var count = 0;
        foreach (var fact in order)
        {
            if (retired)
                count++;
            switch (fact.Kind)
            {
                case Kind.Registered:
                    count += everFitted && !registered ? 1 : 0;
                    registered = true;
                    break;
                case Kind.Installed:
                    count += fitted || failed ? 1 : 0;
                    (fitted, everFitted, failed) = (true, true, false);
                    break;
                case Kind.Removed:
                    count += fitted ? 0 : 1;
                    failed |= fact.Why == Reason.Failed;
                    fitted = false;
                    break;
                case Kind.Failed:
                    count += failed || !everFitted ? 1 : 0;
                    failed = true;
                    break;
                case Kind.Repaired or Kind.Refurbished:
                    count += fitted ? 1 : 0;
                    failed = false;
                    break;
                case Kind.Output or Kind.MeterChanged:
                    count += fitted ? 0 : 1;
                    break;
                case Kind.Retired:
                    count += fitted ? 1 : 0;
                    retired = true;
                    break;
                default:
                    break;
            }
        }

        return count;
    }
}
