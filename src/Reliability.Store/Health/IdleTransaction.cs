namespace Reliability.Store.Health;

/// <summary>
/// A session of PostgreSQL that has changed or locked something of the store, has not committed, and does nothing.
/// </summary>
/// <param name="ProcessId">Its process in PostgreSQL.</param>
/// <param name="User">The database user.</param>
/// <param name="Application">What the session calls itself; empty when it does not say.</param>
/// <param name="IdleFor">For how long it has done nothing.</param>
public sealed record IdleTransaction(int ProcessId, string User, string Application, TimeSpan IdleFor);
