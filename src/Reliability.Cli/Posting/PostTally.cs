namespace Reliability.Cli.Posting;

/// <summary>What became of the rows of a file and of the events that they say.</summary>
internal sealed class PostTally
{
    private readonly SortedDictionary<string, long> _unresolved = new(StringComparer.Ordinal);

    /// <summary>Rows answered so far, refused here or left out by a mapping.</summary>
    public long Rows { get; private set; }

    /// <summary>Events recorded by this post.</summary>
    public long Recorded { get; private set; }

    /// <summary>Events that were there already.</summary>
    public long AlreadyThere { get; private set; }

    /// <summary>Rows refused.</summary>
    public long Refused { get; private set; }

    /// <summary>Events that lie more than a day ahead of this machine's clock.</summary>
    public long InFuture { get; private set; }

    /// <summary>Of the events recorded or there already, those that do not count yet, by reason.</summary>
    public IReadOnlyDictionary<string, long> Unresolved => _unresolved;

    /// <summary>Counts a row whose fate is known.</summary>
    /// <param name="refused">Whether it, or a part of it, is refused.</param>
    public void Settle(bool refused)
    {
        Rows++;
        if (refused)
            Refused++;
    }

    /// <summary>Counts an event that the service has.</summary>
    public void Accept(bool alreadyThere, string unresolvedReason)
    {
        if (alreadyThere)
            AlreadyThere++;
        else
            Recorded++;
        if (unresolvedReason.Length > 0)
            _unresolved[unresolvedReason] = _unresolved.GetValueOrDefault(unresolvedReason) + 1;
    }

    /// <summary>Counts events ahead of their time.</summary>
    public void CountInFuture(int events) => InFuture += events;
}
