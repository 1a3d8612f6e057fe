namespace Reliability.Store.Readings;

/// <summary>Where the readings of a key stand in a sheet.</summary>
/// <param name="Key">The stream key: a module's id, or what stands for a host's meter.</param>
/// <param name="Start">First byte.</param>
/// <param name="Length">Bytes.</param>
internal readonly record struct SheetBlock(string Key, int Start, int Length);
