using Reliability.Engine.Abstractions;

namespace Reliability.Engine.Families;

/// <summary>How many threads work on what asks a family, and which.</summary>
internal static class Callers
{
    /// <summary>
    /// As many as there are processors, of the pool; of a family in another process as many as it answers at once, and threads of their own: they
    /// wait for it, and a pool whose threads wait serves nobody.
    /// </summary>
    /// <param name="family">The family.</param>
    /// <param name="cancellationToken">Stops the work.</param>
    /// <param name="most">Most threads; null for no such limit.</param>
    public static ParallelOptions Of(ILifeFamily family, CancellationToken cancellationToken, int? most = null)
    {
        var distant = family as IDistantFamily;
        return new()
        {
            CancellationToken = cancellationToken,
            MaxDegreeOfParallelism = Math.Min(distant?.MostCallers ?? int.MaxValue, most ?? int.MaxValue) is < int.MaxValue and var width ? width : -1,
            TaskScheduler = distant is null ? TaskScheduler.Default : ThreadOfItsOwn.Instance,
        };
    }

    /// <summary>Runs each task on a new thread, or on the one that waits for it.</summary>
    private sealed class ThreadOfItsOwn : TaskScheduler
    {
        public static ThreadOfItsOwn Instance { get; } = new();

        protected override void QueueTask(Task task) => new Thread(() => TryExecuteTask(task)) { IsBackground = true }.Start();

        protected override bool TryExecuteTaskInline(Task task, bool taskWasPreviouslyQueued) => !taskWasPreviouslyQueued && TryExecuteTask(task);

        protected override IEnumerable<Task> GetScheduledTasks() => [];
    }
}
