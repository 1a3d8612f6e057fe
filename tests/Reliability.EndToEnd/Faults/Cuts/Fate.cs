namespace Reliability.EndToEnd.Faults.Cuts;

/// <summary>What happens to a connection through the proxy.</summary>
internal enum Fate
{
    /// <summary>Nothing.</summary>
    Spared,

    /// <summary>Closed on both sides after some bytes, in the middle of whatever is under way.</summary>
    Cut,

    /// <summary>Passed on in small late pieces, then cut.</summary>
    Slow,

    /// <summary>After some bytes nothing gets through any more, and neither side is told.</summary>
    HalfOpen,

    /// <summary>Closed at once, as are all others for a while.</summary>
    Refused,
}
