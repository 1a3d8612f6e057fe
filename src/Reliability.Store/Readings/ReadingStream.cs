namespace Reliability.Store.Readings;

/// <summary>
/// Streams of sheets, one a writer, so that writers never wait for each other. Keyed by a number of their own: process ids
/// come again.
/// </summary>
internal static class ReadingStream
{
    public const string Prefix = "readings/";

    /// <summary>A stream that nobody else writes to.</summary>
    public static string New() => Prefix + Guid.NewGuid().ToString("N");
}
