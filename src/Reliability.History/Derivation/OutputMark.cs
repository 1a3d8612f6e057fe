using Reliability.History.Events;

namespace Reliability.History.Derivation;

/// <summary>
/// A measurement of output, with the reading taken with it, if any: within a segment, or on the shelf after it when no install
/// or renewal came between.
/// </summary>
internal sealed record OutputMark(RecordedEvent Event, OutputMeasuredV1 Body, ReadingItem? Reading, bool OnShelf);
