using Reliability.History.Events;
using Reliability.Store.Readings;

namespace Reliability.Store.Lives;

/// <summary>
/// The stream keys of an organisation that something came onto, and of hosts' meters, where nothing but readings came, the time
/// in which those were taken.
/// </summary>
internal sealed class ChangedKeys
{
    private readonly HashSet<string> _keys = new(StringComparer.Ordinal);
    private readonly HashSet<string> _otherwise = new(StringComparer.Ordinal);
    private readonly Dictionary<string, (DateTimeOffset From, DateTimeOffset To)> _read = new(StringComparer.Ordinal);

    /// <summary>The keys.</summary>
    public IReadOnlyCollection<string> Keys => _keys;

    /// <summary>Whether nothing but sheets came onto a key.</summary>
    public bool OnlyRead(string key) => !_otherwise.Contains(key);

    /// <summary>Something other than a sheet came onto a key.</summary>
    public void Add(string key)
    {
        _keys.Add(key);
        _otherwise.Add(key);
    }

    /// <summary>Sheets came.</summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="keys">The keys of their readings.</param>
    /// <param name="sheets">The sheets.</param>
    /// <exception cref="InvalidDataException">The bytes are not those of sheets.</exception>
    public void Add(string organisation, IReadOnlyCollection<string> keys, IEnumerable<StoredSheet> sheets)
    {
        _keys.UnionWith(keys);
        if (!keys.Any(HostRecord.Is)) return;
        foreach (var stored in sheets)
            foreach (var block in stored.Sheet.Blocks().Where(block => HostRecord.Is(block.Key)))
            {
                var words = ReadingWords.Read(stored.Sheet.WordBytes());
                foreach (var recorded in ReadingBlock.Read(
                    stored.Sheet.BytesOf(block), words, organisation, block.Key, stored.RecordTime))
                    Took(block.Key, (RunHoursReadV1)recorded.Body);
            }
    }

    /// <summary>From when to when the readings of a host's meter were taken; null when anything else came onto its record.</summary>
    public (DateTimeOffset From, DateTimeOffset To)? ReadWithin(string host) =>
        !_otherwise.Contains(host) && _read.TryGetValue(host, out var within) ? within : null;

    private void Took(string host, RunHoursReadV1 read)
    {
        foreach (var reading in read.Readings)
            _read[host] = _read.TryGetValue(host, out var within)
                ? (Min(within.From, reading.Earliest), Max(within.To, reading.Latest))
                : (reading.Earliest, reading.Latest);
    }

    private static DateTimeOffset Min(DateTimeOffset one, DateTimeOffset other) => one < other ? one : other;

    private static DateTimeOffset Max(DateTimeOffset one, DateTimeOffset other) => one > other ? one : other;
}
