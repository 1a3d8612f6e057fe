namespace Reliability.Engine.Abstractions;

/// <summary>
/// The token of whoever waits for the work of this flow of execution, for families: their methods are pure mathematics and have none of
/// their own. One that waits for another process stops waiting when its caller gives up.
/// </summary>
internal static class CallerCancellation
{
    private static readonly AsyncLocal<CancellationToken> Flowing = new();

    /// <summary>The caller's token; one that is never cancelled where nobody set one.</summary>
    public static CancellationToken Current => Flowing.Value;

    /// <summary>Does work for a caller.</summary>
    /// <param name="work">The work.</param>
    /// <param name="cancellationToken">The caller's token; one that cannot be cancelled leaves that of an outer caller.</param>
    public static T Within<T>(Func<T> work, CancellationToken cancellationToken)
    {
        var outer = Flowing.Value;
        if (!cancellationToken.CanBeCanceled || cancellationToken == outer)
            return work();
        Flowing.Value = cancellationToken;
        try
        {
            return work();
        }
        finally
        {
            Flowing.Value = outer;
        }
    }
}
