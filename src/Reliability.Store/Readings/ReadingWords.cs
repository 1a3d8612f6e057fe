using Reliability.History.Events;

namespace Reliability.Store.Readings;

/// <summary>The few texts that many readings of a sheet share: sources, actors, time zones. Readings name them by number.</summary>
internal sealed class ReadingWords
{
    private readonly WordList _sources = new();
    private readonly WordList _actors = new();
    private readonly WordList _zones = new();

    /// <summary>Those of readings about to be written.</summary>
    public static ReadingWords Of(IEnumerable<RecordedEvent> readings)
    {
        var words = new ReadingWords();
        foreach (var reading in readings)
        {
            words._sources.Add(reading.Source);
            words._actors.Add(reading.ActorId);
            words._zones.Add(reading.Occurrence.Zone);
        }
        return words;
    }

    /// <exception cref="InvalidDataException">The bytes are not those of words.</exception>
    public static ReadingWords Read(ReadOnlySpan<byte> bytes)
    {
        var from = new ByteReader(bytes);
        var words = new ReadingWords();
        words._sources.Read(ref from);
        words._actors.Read(ref from);
        words._zones.Read(ref from);
        return from.AtEnd ? words : throw ByteReader.Wrong("there is more than was announced");
    }

    public void Write(ByteWriter to)
    {
        _sources.Write(to);
        _actors.Write(to);
        _zones.Write(to);
    }

    /// <summary>Names source, actor and zone of a reading; where there is no choice, nothing is written.</summary>
    public void WriteOf(RecordedEvent reading, ByteWriter to)
    {
        if (_sources.Count > 1) to.Number(_sources.NumberOf(reading.Source));
        if (_actors.Count > 0) to.Number(_actors.NumberOf(reading.ActorId));
        if (_zones.Count > 0) to.Number(_zones.NumberOf(reading.Occurrence.Zone));
    }

    /// <exception cref="InvalidDataException">A word is named that is not there.</exception>
    public (string Source, string? Actor, string? Zone) ReadOne(ref ByteReader from) => (
        _sources[_sources.Count > 1 ? from.Number() : 1] ?? throw ByteReader.Wrong("a reading has no source"),
        _actors[_actors.Count > 0 ? from.Number() : 0],
        _zones[_zones.Count > 0 ? from.Number() : 0]);

    /// <summary>Words numbered from 1; 0 stands for none.</summary>
    private sealed class WordList
    {
        private readonly List<string> _words = [];
        private readonly Dictionary<string, uint> _numbers = new(StringComparer.Ordinal);
        private string? _last;

        public int Count => _words.Count;

        public string? this[ulong number] => number == 0
            ? null
            : number <= (ulong)_words.Count
                ? _words[(int)number - 1]
                : throw ByteReader.Wrong("a word is named that is not there");

        public void Add(string? word)
        {
            // Neighbours mostly share the very same text.
            if (word is null || ReferenceEquals(word, _last)) return;
            _last = word;
            if (_numbers.TryAdd(word, (uint)_words.Count + 1)) _words.Add(word);
        }

        public uint NumberOf(string? word) => word is null ? 0 : _numbers[word];

        public void Write(ByteWriter to)
        {
            to.Number((ulong)_words.Count);
            foreach (var word in _words) to.Text(word);
        }

        public void Read(ref ByteReader from)
        {
            for (var count = from.Count(1); count > 0; count--) _words.Add(from.Text());
        }
    }
}
