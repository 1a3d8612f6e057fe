namespace Reliability.Service.Events;

/// <summary>A list of codes in the words of the wire and of the record, to be read both ways.</summary>
/// <typeparam name="TWire">Enum of the protos.</typeparam>
/// <typeparam name="THistory">Enum of the record.</typeparam>
internal sealed class WordPairs<TWire, THistory>(params (TWire Wire, THistory History)[] pairs)
    where TWire : struct, Enum
    where THistory : struct, Enum
{
    /// <summary>The record's word.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The record has none for it; checks come first.</exception>
    public THistory ToHistory(TWire wire)
    {
        foreach (var pair in pairs)
        {
            if (EqualityComparer<TWire>.Default.Equals(pair.Wire, wire))
                return pair.History;
        }

        throw new ArgumentOutOfRangeException(nameof(wire), wire, "The record has no word for it.");
    }

    /// <summary>The wire's word; the first of several that mean the same.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The wire has none for it.</exception>
    public TWire ToWire(THistory history)
    {
        foreach (var pair in pairs)
        {
            if (EqualityComparer<THistory>.Default.Equals(pair.History, history))
                return pair.Wire;
        }

        throw new ArgumentOutOfRangeException(nameof(history), history, "The wire has no word for it.");
    }
}
