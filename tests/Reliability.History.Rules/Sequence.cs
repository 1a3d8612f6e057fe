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

    /// <summary>
    /// The orders in which facts other than readings may count: one, unless several are as good and nothing says which.
    /// </summary>
    public static List<List<Fact>> Of(IEnumerable<Fact> facts, Wrong wrong, Branches branches)
    {
        var posted = AsPosted(facts);
        var least = Impossible(posted);
        if (wrong == Wrong.DaysNeverMove || least == 0)
            return [posted];

        List<List<Fact>> best = [posted];
        var fewest = 0;
        foreach (var order in Allowed(posted, [], new bool[posted.Count]))
        {
            var impossible = Impossible(order);
            var moves = Moves(posted, order);
            if (impossible < least || (impossible == least && moves < fewest))
                (best, least, fewest) = ([[.. order]], impossible, moves);
            else if (impossible == least && moves == fewest && moves > 0)
                best.Add([.. order]);
        }

        if (fewest > 0)
            branches.Reach("day moved");
        if (best.Count > 1)
            branches.Reach("day moved, one of several orders as good");
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
    private static bool MustPrecede(List<Fact> posted, int one, int other) =>
        one < other && posted[one].When.To <= posted[other].When.From;

    // How often one fact stands before another that it was posted behind.
    private static int Moves(List<Fact> posted, List<Fact> order)
    {
        var places = order.ConvertAll(f => posted.IndexOf(f));
        return Enumerable.Range(0, places.Count).Sum(i => Enumerable.Range(0, i).Count(j => places[j] > places[i]));
    }

    // What cannot happen to a real module weighs most, what is merely odd least (decision 0005 gives the weights).
    private static int Impossible(List<Fact> order)
    {
        bool registered = false, fitted = false, failed = false, retired = false;
        var weight = 0;
        foreach (var fact in order.Where(f => f.PostedForHost is null))
        {
            weight += retired ? 4 : 0;
            weight += registered || fact.Kind == Kind.Registered ? 0 : 1;
            switch (fact.Kind)
            {
                case Kind.Registered:
                    registered = true;
                    break;
                case Kind.Installed:
                    weight += (fitted ? 4 : 0) + (failed ? 2 : 0);
                    fitted = true;
                    break;
                case Kind.Removed:
                    weight += fitted ? 0 : 4;
                    failed |= fact.Why == Reason.Failed;
                    fitted = false;
                    break;
                case Kind.Failed:
                    weight += fitted && !failed ? 0 : 1;
                    failed = true;
                    break;
                case Kind.Repaired or Kind.Refurbished:
                    weight += fitted ? 1 : 0;
                    failed = false;
                    break;
                case Kind.MeterChanged:
                    weight += fitted ? 0 : 1;
                    break;
                case Kind.Retired:
                    weight += fitted ? 2 : 0;
                    (fitted, retired) = (false, true);
                    break;
                default:
                    break;
            }
        }

        return weight;
    }
}
