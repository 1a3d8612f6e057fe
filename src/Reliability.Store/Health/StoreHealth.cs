namespace Reliability.Store.Health;

/// <summary>How the store is.</summary>
public sealed record StoreHealth
{
    /// <summary>Whether the store has been started in this process.</summary>
    public bool Started { get; init; }

    /// <summary>Whether the database answers.</summary>
    public bool DatabaseReachable { get; init; }

    /// <summary>Position of the last event in the log.</summary>
    public long LogPosition { get; init; }

    /// <summary>Position below which no event can come any more; a transaction left open holds it back.</summary>
    public long HighWaterMark { get; init; }

    /// <summary>Position up to which lives and module states have been brought.</summary>
    public long LivesPosition { get; init; }

    /// <summary>How old the oldest event is that lives have not taken in; zero when there is none.</summary>
    public TimeSpan LivesLag { get; init; }

    /// <summary>Age of the oldest open transaction that has changed something; null when there is none.</summary>
    public TimeSpan? OldestOpenTransaction { get; init; }

    /// <summary>Whether the database has no space left: it answers, but takes no posts.</summary>
    public bool StorageFull { get; init; }

    /// <summary>
    /// Sessions that have held a transaction open for longer than <see cref="IdleTransactionsToldAfter"/> without doing
    /// anything: posts and lives may wait behind them. The longest first.
    /// </summary>
    public IReadOnlyList<IdleTransaction> IdleTransactions { get; init; } = [];

    /// <summary>
    /// Whether PostgreSQL hides from the service's database user what sessions of other users do: <see cref="IdleTransactions"/>
    /// are then those of its own user only. The role <c>pg_read_all_stats</c> lets it see all.
    /// </summary>
    public bool OthersUnseen { get; init; }

    /// <summary>Whether lives fell behind by more than they should: answers rest on an old state.</summary>
    public bool LivesStalled => LivesLag > StallAfter;

    /// <summary>Whether the store serves posts and answers.</summary>
    public bool Ready => Started && DatabaseReachable && !StorageFull;

    /// <summary>Transactions are said to be idle after this.</summary>
    public static TimeSpan IdleTransactionsToldAfter { get; } = TimeSpan.FromSeconds(3);

    /// <summary>Lives are said to be stalled when they are behind by more than this.</summary>
    public static TimeSpan StallAfter { get; } = TimeSpan.FromSeconds(30);
}
