using Reliability.History.Lives;

namespace Reliability.Store.Modules;

/// <summary>An event with something odd about it.</summary>
/// <param name="Source">The system that posted it.</param>
/// <param name="OriginalId">The id under which the source posted it.</param>
/// <param name="Flags">What is odd.</param>
public sealed record OddEvent(string Source, string OriginalId, IReadOnlyList<RecordOddity> Flags);
