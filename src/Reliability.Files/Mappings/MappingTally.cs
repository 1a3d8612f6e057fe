namespace Reliability.Files.Mappings;

/// <summary>What a mapping left out of a file, and which codes it did not know, so that its tables can be extended.</summary>
public sealed class MappingTally
{
    private const int MaxCodes = 1_000;

    private readonly SortedDictionary<string, long> _ignored = new(StringComparer.Ordinal);
    private readonly Dictionary<UnknownCode, long> _codes = [];

    /// <summary>Rows left out, by the reason that the mapping gives.</summary>
    public IReadOnlyDictionary<string, long> Ignored => _ignored;

    /// <summary>Codes that stand in no table, with how often they were met, the most frequent first; at most 1,000 of them.</summary>
    public IEnumerable<KeyValuePair<UnknownCode, long>> UnknownCodes =>
        _codes.OrderByDescending(pair => pair.Value).ThenBy(pair => pair.Key.Column, StringComparer.Ordinal).ThenBy(pair => pair.Key.Code, StringComparer.Ordinal);

    internal void Ignore(string reason) => _ignored[reason] = _ignored.GetValueOrDefault(reason) + 1;

    internal void Unknown(UnknownCode code)
    {
        if (_codes.Count < MaxCodes || _codes.ContainsKey(code))
            _codes[code] = _codes.GetValueOrDefault(code) + 1;
    }
}
