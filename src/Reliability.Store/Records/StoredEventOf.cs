using Reliability.History.Events;

namespace Reliability.Store.Records;

/// <summary>An event of one kind as the log holds it.</summary>
internal sealed record StoredEvent<TBody> : StoredEvent
    where TBody : EventBody
{
    public required TBody Body { get; init; }

    public override EventBody What() => Body;
}
