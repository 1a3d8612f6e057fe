namespace Reliability.Service.Hosting;

/// <summary>What the service takes at most; docs/errors.md lists it for callers.</summary>
internal static class Limits
{
    /// <summary>Bytes of one message, on gRPC and of a JSON body alike.</summary>
    public const int MaxMessageBytes = 32 * 1024 * 1024;

    /// <summary>Events of one call.</summary>
    public const int MaxEvents = 1_000;

    /// <summary>Observations of one inline sample.</summary>
    public const int MaxObservations = 200_000;

    /// <summary>Lives that one observation may stand for.</summary>
    public const long MaxCount = 1_000_000_000;

    /// <summary>Resources of one page, and how many when the caller does not say.</summary>
    public const int MaxPageSize = 1_000, DefaultPageSize = 100;

    /// <summary>Lives of one page.</summary>
    public const int MaxLivesPageSize = 10_000;
}
