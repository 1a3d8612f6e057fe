namespace Reliability.Store.Revisions;

/// <summary>What came of waiting for a revision.</summary>
public enum RevisionWait
{
    /// <summary>Lives and module states have taken it in.</summary>
    Reached,

    /// <summary>They had not within the time allowed. The wait may be made again.</summary>
    TimedOut,

    /// <summary>The revision belongs to another organisation.</summary>
    OtherOrganisation,

    /// <summary>The log has not come that far: the revision was not given out by this store.</summary>
    Unknown,
}
