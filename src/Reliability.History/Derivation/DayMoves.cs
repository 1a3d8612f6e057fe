using System.Numerics;
using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>
/// Moves events that are known to the day within their day, when only that makes the record possible: a module cannot be
/// removed before it is installed, nor installed twice.
/// </summary>
/// <remarks>
/// Events whose windows overlap form a cluster. Within each cluster the order is chosen that needs the fewest impossible
/// steps over the whole record, then the fewest moves: dynamic programming over subsets in a cluster, and over the state of the
/// module from cluster to cluster. Instants keep their order.
/// </remarks>
internal static class DayMoves
{
    // Beyond this many events in one day the order stays as it is: the work doubles with each.
    private const int LargestCluster = 8;
    private const int StateCount = 16;
    private const long Step = 1_000;

    [Flags]
    private enum State
    {
        None = 0,
        Registered = 1,
        Fitted = 2,
        Failed = 4,
        Retired = 8,
    }

    /// <summary>The structural events in the order in which they count.</summary>
    /// <param name="sorted">Structural events by occurrence.</param>
    public static List<RecordedEvent> Apply(List<RecordedEvent> sorted)
    {
        if (sorted.TrueForAll(e => e.Occurrence.Precision == TimePrecision.Instant))
            return sorted;

        var clusters = Clusters(sorted);
        var costs = new long?[StateCount];
        costs[0] = 0;
        var steps = new List<(State From, int[] Order)?[]>(clusters.Count);
        foreach (var cluster in clusters)
        {
            var next = new long?[StateCount];
            var step = new (State, int[])?[StateCount];
            for (var from = 0; from < StateCount; from++)
            {
                if (costs[from] is not { } soFar)
                    continue;
                foreach (var (to, cost, order) in Orders(cluster, (State)from))
                {
                    if (next[(int)to] is { } known && known <= soFar + cost)
                        continue;
                    next[(int)to] = soFar + cost;
                    step[(int)to] = ((State)from, order);
                }
            }

            costs = next;
            steps.Add(step);
        }

        var end = Enumerable.Range(0, StateCount).Where(s => costs[s] is not null).MinBy(s => costs[s]);
        var result = new RecordedEvent[sorted.Count];
        var position = sorted.Count;
        for (var c = clusters.Count - 1; c >= 0; c--)
        {
            var (from, order) = steps[c][end]!.Value;
            position -= order.Length;
            for (var i = 0; i < order.Length; i++)
                result[position + i] = clusters[c][order[i]];
            end = (int)from;
        }

        return [.. result];
    }

    private static List<List<RecordedEvent>> Clusters(List<RecordedEvent> sorted)
    {
        var clusters = new List<List<RecordedEvent>>();
        var latest = DateTimeOffset.MinValue;
        foreach (var recorded in sorted)
        {
            if (clusters.Count == 0 || recorded.Occurrence.Earliest >= latest)
                clusters.Add([]);
            clusters[^1].Add(recorded);
            if (recorded.Occurrence.Latest > latest)
                latest = recorded.Occurrence.Latest;
        }

        return clusters;
    }

    // The best order of a cluster from one state to each state that can be reached.
    private static List<(State To, long Cost, int[] Order)> Orders(List<RecordedEvent> cluster, State from)
    {
        if (cluster.Count is 1 or > LargestCluster)
        {
            var state = from;
            var total = 0L;
            foreach (var recorded in cluster)
            {
                total += Step * Cost(recorded, state);
                state = After(recorded.Body, state);
            }

            return [(state, total, [.. Enumerable.Range(0, cluster.Count)])];
        }

        var n = cluster.Count;
        var before = new int[n];
        for (var j = 0; j < n; j++)
            for (var i = 0; i < j; i++)
            {
                if (cluster[i].Occurrence.Latest <= cluster[j].Occurrence.Earliest)
                    before[j] |= 1 << i;
            }

        var best = new long?[1 << n, StateCount];
        var via = new (int Last, State From)[1 << n, StateCount];
        best[0, (int)from] = 0;
        for (var placed = 0; placed < 1 << n; placed++)
            for (var s = 0; s < StateCount; s++)
            {
                if (best[placed, s] is not { } soFar)
                    continue;
                for (var next = 0; next < n; next++)
                {
                    if ((placed & (1 << next)) != 0 || (before[next] & ~placed) != 0)
                        continue;
                    var body = cluster[next].Body;
                    var jumped = BitOperations.PopCount((uint)(~placed & ((1 << next) - 1)));
                    var cost = soFar + (Step * Cost(cluster[next], (State)s)) + jumped;
                    var (to, with) = ((int)After(body, (State)s), placed | (1 << next));
                    if (best[with, to] is { } known && known <= cost)
                        continue;
                    best[with, to] = cost;
                    via[with, to] = (next, (State)s);
                }
            }

        var orders = new List<(State, long, int[])>();
        for (var s = 0; s < StateCount; s++)
        {
            if (best[(1 << n) - 1, s] is not { } cost)
                continue;
            var order = new int[n];
            var (placed, at) = ((1 << n) - 1, s);
            for (var k = n - 1; k >= 0; k--)
            {
                var (last, previous) = via[placed, at];
                order[k] = last;
                (placed, at) = (placed & ~(1 << last), (int)previous);
            }

            orders.Add(((State)s, cost, order));
        }

        return orders;
    }

    // 0: fits; 1: odd; 2: unlikely; 4: impossible.
    private static int Cost(RecordedEvent recorded, State state)
    {
        // A host's meter may be changed whatever is fitted there.
        if (HostRecord.Is(recorded.ModuleId))
            return 0;
        var (body, fitted) = (recorded.Body, state.HasFlag(State.Fitted));
        var cost = body switch
        {
            FailedV1 => fitted && !state.HasFlag(State.Failed) ? 0 : 1,
            RemovedV1 => fitted ? 0 : 4,
            RepairedV1 or RefurbishedV1 => fitted ? 1 : 0,
            MeterChangedV1 => fitted ? 0 : 1,
            InstalledV1 => (fitted ? 4 : 0) + (state.HasFlag(State.Failed) ? 2 : 0),
            RetiredV1 => fitted ? 2 : 0,
            _ => 0,
        };
        if (state.HasFlag(State.Retired))
            cost += 4;
        return body is not RegisteredV1 && !state.HasFlag(State.Registered) ? cost + 1 : cost;
    }

    private static State After(EventBody body, State state) => body switch
    {
        RegisteredV1 => state | State.Registered,
        FailedV1 => state | State.Failed,
        RemovedV1 { Reason: RemovalReason.Failed } => (state & ~State.Fitted) | State.Failed,
        RemovedV1 => state & ~State.Fitted,
        RepairedV1 or RefurbishedV1 => state & ~State.Failed,
        InstalledV1 => state | State.Fitted,
        RetiredV1 => (state & ~State.Fitted) | State.Retired,
        _ => state,
    };
}
