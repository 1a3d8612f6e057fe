using Npgsql;
using Reliability.Store.Records;

namespace Reliability.Store.Aliases;

/// <summary>Makes the table of alias changes anew from the log, of which every row is a copy.</summary>
internal sealed class AliasRebuild(Database database)
{
    /// <summary>
    /// Replaces all rows up to a position. Changes of aliases go on meanwhile, behind that position; who reads sees the rows of
    /// before or those of after.
    /// </summary>
    /// <param name="settled">A position up to which nothing can come into the log any more.</param>
    /// <param name="cancellation">Ends the work; the table then is as it was.</param>
    /// <exception cref="StoreUnavailableException">The database does not answer.</exception>
    public Task RunAsync(long settled, CancellationToken cancellation) => Failure.Translated(async () =>
    {
        await using var connection = await database.Source.OpenConnectionAsync(cancellation);
        await using var transaction = await connection.BeginTransactionAsync(cancellation);
        await using (var batch = new NpgsqlBatch(connection))
        {
            // Of two rebuilds at once the second would not see the rows of the first, and write them twice.
            batch.BatchCommands.Add(new NpgsqlBatchCommand("select pg_advisory_xact_lock(hashtextextended($1, 0))")
            {
                Parameters = { new NpgsqlParameter<string> { TypedValue = $"{database.Schema}/alias-rebuild" } },
            });
            batch.BatchCommands.Add(UpTo(
                settled, $"delete from {database.Schema}.alias_change where position <= $1"));
            batch.BatchCommands.Add(UpTo(
                settled,
                $"""
                insert into {database.Schema}.alias_change
                  (organisation, position, alias, kind, alternate, primary_name, record_time)
                select tenant_id, seq_id, substr(stream_id, {AliasStream.Prefix.Length + 1}),
                  data ->> 'kind', data ->> 'alternate', data ->> 'primary', timestamp
                from {database.Schema}.mt_events
                where seq_id <= $1 and type in ('{AliasStream.CreatedName}', '{AliasStream.DeletedName}')
                """));
            // Who keeps the table knows it by its last row: see AliasReader.
            batch.BatchCommands.Add(new NpgsqlBatchCommand(
                $"""
                update {database.Schema}.alias_change as last set position = position
                where position = (
                  select max(position) from {database.Schema}.alias_change as other where other.organisation = last.organisation)
                """));
            batch.Timeout = 0;
            await batch.ExecuteNonQueryAsync(cancellation);
        }
        await transaction.CommitAsync(cancellation);
        return true;
    });

    private static NpgsqlBatchCommand UpTo(long settled, string sql) =>
        new(sql) { Parameters = { new NpgsqlParameter<long> { TypedValue = settled } } };
}
