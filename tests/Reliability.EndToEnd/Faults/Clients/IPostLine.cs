using Reliability.V1;

namespace Reliability.EndToEnd.Faults.Clients;

/// <summary>One connection over which events are sent without waiting for the answers, which come in the same order.</summary>
internal interface IPostLine : IAsyncDisposable
{
    /// <summary>Sends events. Returns when they are handed over, not when they are answered.</summary>
    Task SendAsync(ModuleEvent[] events, CancellationToken cancellation);

    /// <summary>Says that no more events come.</summary>
    Task CompleteAsync();

    /// <summary>The answers, until the last event that was sent has its own.</summary>
    IAsyncEnumerable<RecordEventResult> AnswersAsync(CancellationToken cancellation);
}
