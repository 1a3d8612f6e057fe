using Reliability.Store.Revisions;

namespace Reliability.Store.Posting;

/// <summary>What is known of an id that was posted before.</summary>
/// <param name="BodyHash">What the first post said.</param>
/// <param name="Window">Number of the window that it came in.</param>
/// <param name="Revision">The revision of its receipt.</param>
internal readonly record struct KnownId(long BodyHash, long Window, Revision Revision);
