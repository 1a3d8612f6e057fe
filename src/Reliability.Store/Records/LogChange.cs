using Marten;
using Marten.Services;
using Npgsql;

namespace Reliability.Store.Records;

/// <summary>A change that rests on what stands: it looks under a lock, decides, and appends, all in one transaction.</summary>
internal static class LogChange
{
    private const int Attempts = 6;

    /// <summary>Does a change, again when it met another by chance.</summary>
    /// <param name="database">The database.</param>
    /// <param name="change">Looks, decides, and writes within the transaction.</param>
    /// <param name="isDone">Whether an outcome is to be committed.</param>
    /// <param name="cancellation">Ends the call.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public static async Task<T> DoAsync<T>(
        Database database, Func<NpgsqlTransaction, Task<T>> change, Func<T, bool> isDone, CancellationToken cancellation)
    {
        for (var attempt = 1; ; attempt++)
        {
            try
            {
                await using var connection = await database.Source.OpenConnectionAsync(cancellation);
                await using var transaction = await connection.BeginTransactionAsync(cancellation);
                var outcome = await change(transaction);
                if (isDone(outcome)) await transaction.CommitAsync(cancellation);
                return outcome;
            }
            catch (Exception exception) when (Failure.IsPassing(exception))
            {
                if (attempt == Attempts) throw new StoreUnavailableException(exception);
                await Task.Delay(20 << attempt, cancellation);
            }
        }
    }

    /// <summary>Appends an event to a stream; gives its position.</summary>
    public static async Task<long> AppendAsync(
        IDocumentStore documents, NpgsqlTransaction transaction, string organisation, string stream, object changed,
        CancellationToken cancellation)
    {
        var options = SessionOptions.ForTransaction(transaction);
        options.TenantId = organisation;
        options.Tracking = DocumentTracking.None;
        await using var session = documents.OpenSession(options);
        var appended = session.Events.BuildEvent(changed);
        session.Events.Append(stream, [appended]);
        await session.SaveChangesAsync(cancellation);
        return appended.Sequence;
    }
}
