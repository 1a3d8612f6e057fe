using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>All that is recorded of one module, in any order. Lives are a pure function of it.</summary>
/// <param name="ModuleId">Resource id of the module.</param>
/// <param name="Events">
/// Its events, and the records of the hosts it was fitted in (<see cref="HostRecord.KeysNamed"/>); repetitions do no harm.
/// </param>
public sealed record ModuleRecord(string ModuleId, IReadOnlyList<RecordedEvent> Events)
{
    /// <summary>Other ids that were found to be those of the same module, in order; their events are among these.</summary>
    public IReadOnlyList<string> JoinedModules { get; init; } = [];
}
