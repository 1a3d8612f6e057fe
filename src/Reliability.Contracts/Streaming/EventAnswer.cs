using Reliability.V1;

namespace Reliability.Contracts.Streaming;

/// <summary>What became of one event of a stream.</summary>
/// <typeparam name="T">What the event was made from.</typeparam>
/// <param name="Item">What was posted.</param>
/// <param name="Result">A receipt, or why the event is refused.</param>
public readonly record struct EventAnswer<T>(T Item, RecordEventResult Result);
