using Reliability.EndToEnd.Faults.Clients;
using Reliability.V1;

namespace Reliability.EndToEnd.Faults;

/// <summary>
/// What several clients have to post: maintenance events in a random order, device readings day by day between them, each event
/// by one client.
/// </summary>
internal sealed class Load
{
    private const int LargestMessage = 20;

    private readonly Random _random;
    private readonly Queue<ModuleEvent>[] _left;

    public Load(IReadOnlyList<ModuleEvent> events, int clients, Random random)
    {
        _random = random;
        _left = [.. Enumerable.Range(0, clients).Select(_ => new Queue<ModuleEvent>())];
        // Readings keep their order; a shuffle of everything else is spread evenly between them.
        var readings = events.Where(IsDailyReading).ToList();
        var others = events.Where(posted => !IsDailyReading(posted)).ToArray();
        random.Shuffle(others);
        foreach (var posted in readings.Select((posted, i) => (posted, at: (i + 0.5) / readings.Count))
            .Concat(others.Select((posted, i) => (posted, at: (i + 0.5) / others.Length)))
            .OrderBy(placed => placed.at))
        {
            _left[random.Next(clients)].Enqueue(posted.posted);
        }
    }

    /// <summary>How many events have not been given to a client.</summary>
    public int Left => _left.Sum(left => left.Count);

    /// <summary>Gives every client a message of some events, as far as it has any left.</summary>
    public void GiveSome(IReadOnlyList<ResumingClient> clients) => Give(clients, LargestMessage);

    /// <summary>Gives every client all that is left, and tells it that no more comes.</summary>
    public void GiveRest(IReadOnlyList<ResumingClient> clients)
    {
        while (_left.Any(left => left.Count > 0))
            Give(clients, LargestMessage * LargestMessage);
        foreach (var client in clients)
            client.Finish();
    }

    private void Give(IReadOnlyList<ResumingClient> clients, int largest)
    {
        foreach (var (client, left) in clients.Zip(_left))
        {
            var message = new List<ModuleEvent>();
            for (var length = _random.Next(1, largest + 1); message.Count < length && left.TryDequeue(out var posted);)
                message.Add(posted);
            if (message.Count > 0)
                client.Give([.. message]);
        }
    }

    private static bool IsDailyReading(ModuleEvent posted) =>
        posted.EventCase == ModuleEvent.EventOneofCase.RunHoursRead && posted.EventId.StartsWith("fleet-", StringComparison.Ordinal);
}
