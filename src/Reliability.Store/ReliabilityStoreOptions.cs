using Reliability.Store.PostgresInstance;

namespace Reliability.Store;

/// <summary>Where and how the store keeps its data.</summary>
public sealed record ReliabilityStoreOptions
{
    /// <summary>
    /// Connection string of a PostgreSQL server to use; null or empty starts the private cluster in
    /// <see cref="DataDirectory"/>. The user it names owns the schema <c>reliability</c>, or may make it.
    /// </summary>
    public string? ConnectionString { get; init; }

    /// <summary>
    /// Folder of the private cluster, used when there is no connection string: the user's data folder, and for root
    /// <c>/var/lib/reliability</c>. One service owns it at a time.
    /// </summary>
    public string DataDirectory { get; init; } = ClusterFolder.DefaultDataDirectory;

    /// <summary>Database schema that holds all tables. Stores with different schemas share nothing.</summary>
    public string Schema { get; init; } = "reliability";

    /// <summary>
    /// Whether this process takes part in keeping lives and module states up to date. Of several that do, one works
    /// and another takes over when it ends.
    /// </summary>
    public bool RunProjections { get; init; } = true;

    /// <summary>
    /// A session that holds locks on the store's tables in an open transaction and does nothing for so long is ended.
    /// </summary>
    public TimeSpan IdleTransactionLimit { get; init; } = TimeSpan.FromSeconds(60);

    /// <summary>How long a start waits for a database that does not answer yet.</summary>
    public TimeSpan StartPatience { get; init; } = TimeSpan.FromSeconds(15);

    /// <summary>A commit takes no further posts once it holds this many events; readings count each.</summary>
    public int CommitWindowEvents { get; init; } = 2000;

    /// <summary>
    /// The longest time for which posts gather while another commit is under way. When none is, they do not wait.
    /// </summary>
    public TimeSpan CommitWindowAge { get; init; } = TimeSpan.FromMilliseconds(5);

    /// <summary>At most this many posts wait for a commit; further ones wait to be let in.</summary>
    public int WaitingPosts { get; init; } = 512;

    /// <summary>
    /// At most this many events wait for a commit, readings counting each; a post of more waits until no other does.
    /// </summary>
    public int WaitingEvents { get; init; } = 100_000;
}
