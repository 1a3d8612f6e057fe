using Reliability.Store.Revisions;

namespace Reliability.Store.Aliases;

/// <summary>What became of a change of aliases.</summary>
public abstract record AliasOutcome
{
    private AliasOutcome()
    {
    }

    /// <summary>Created, durably.</summary>
    /// <param name="Alias">The alias.</param>
    public sealed record Created(StoredAlias Alias) : AliasOutcome;

    /// <summary>Deleted, durably.</summary>
    /// <param name="Revision">The state of the record without it.</param>
    public sealed record Deleted(Revision Revision) : AliasOutcome;

    /// <summary>It could be done, and was not: only a check was asked for.</summary>
    public sealed record Allowed : AliasOutcome;

    /// <summary>Refused: the alternate name has an alias already.</summary>
    /// <param name="Alias">The alias that is there.</param>
    public sealed record AlreadyExists(StoredAlias Alias) : AliasOutcome;

    /// <summary>Refused: the primary name leads, by the aliases there are, back to the alternate one.</summary>
    public sealed record Circular : AliasOutcome;

    /// <summary>Refused: more names would mean one thing than are kept together.</summary>
    public sealed record TooMany : AliasOutcome;

    /// <summary>Refused: there is no such alias.</summary>
    public sealed record NotFound : AliasOutcome;

    /// <summary>Refused: the alias is not the one that the etag was read of.</summary>
    public sealed record Conflict : AliasOutcome;
}
