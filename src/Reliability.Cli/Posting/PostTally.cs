namespace Reliability.Cli.Posting;

/// <summary>What became of the rows of a file.</summary>
internal sealed class PostTally
{
    private readonly SortedDictionary<string, long> _unresolved = new(StringComparer.Ordinal);

    /// <summary>Rows answered so far, or refused here.</summary>
    public long Rows => Recorded + AlreadyThere + Refused;

    /// <summary>Events recorded by this post.</summary>
    public long Recorded { get; private set; }

    /// <summary>Events that were there already.</summary>
    public long AlreadyThere { get; private set; }

    /// <summary>Rows refused.</summary>
    public long Refused { get; private set; }

    /// <summary>Of the events recorded or there already, those that do not count yet, by reason.</summary>
    public IReadOnlyDictionary<string, long> Unresolved => _unresolved;

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

    /// <summary>Counts a refused row.</summary>
    public void Refuse() => Refused++;
}
