namespace Reliability.Store.Uploads;

/// <summary>An upload on record.</summary>
/// <param name="Summary">What became of it, in its caller's own form.</param>
public sealed record StoredUpload(ReadOnlyMemory<byte> Summary);
