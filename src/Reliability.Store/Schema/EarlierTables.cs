using Npgsql;
using Reliability.Store.Posting;

namespace Reliability.Store.Schema;

/// <summary>
/// Brings tables of an earlier form up to date. The table of posted ids once held the organisation and a longer hash; it is
/// put aside and made anew from the log. A start that is cut off begins again where it was.
/// </summary>
internal sealed class EarlierTables(Database database)
{
    private const string PutAside = "posted_event_before_sheets";

    /// <summary>Before tables are made or changed: puts aside what cannot be changed.</summary>
    public async Task PutAsideAsync(CancellationToken cancellation)
    {
        if (await ThereAsync(
            "select 1 from information_schema.columns where table_schema = $1 and table_name = $2 and column_name = 'organisation'",
            "posted_event", cancellation))
            await ExecuteAsync($"alter table {database.Schema}.posted_event rename to {PutAside}", cancellation);
    }

    /// <summary>After tables were made: fills what was put aside.</summary>
    public async Task FillAsync(CancellationToken cancellation)
    {
        if (!await ThereAsync(
            "select 1 from information_schema.tables where table_schema = $1 and table_name = $2", PutAside, cancellation))
            return;
        await new PostedIdsRebuild(database).RunAsync(cancellation);
        await ExecuteAsync($"drop table {database.Schema}.{PutAside}", cancellation);
    }

    private async Task<bool> ThereAsync(string sql, string table, CancellationToken cancellation) =>
        (await database.ReadAsync(
            sql,
            [
                new NpgsqlParameter<string> { TypedValue = database.Schema },
                new NpgsqlParameter<string> { TypedValue = table },
            ],
            _ => true, cancellation)).Count > 0;

    private async Task ExecuteAsync(string sql, CancellationToken cancellation)
    {
        await using var command = database.Source.CreateCommand(sql);
        command.CommandTimeout = 0;
        await command.ExecuteNonQueryAsync(cancellation);
    }
}
