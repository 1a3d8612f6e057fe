using System.Globalization;
using Npgsql;
using Reliability.History.Events;
using Reliability.Store;
using Reliability.Store.Readings;
using Reliability.V1;
using Xunit;

namespace Reliability.EndToEnd.Faults;

/// <summary>
/// What PostgreSQL itself holds: every event of the log once, its id in the table of posted ids once and under the same commit,
/// each commit with its row. Nothing is there in part.
/// </summary>
internal static class StoredLog
{
    public static async Task CheckWholeAsync(string connectionString, IReadOnlyList<ModuleEvent> posted, ITestOutputHelper output)
    {
        await using var source = NpgsqlDataSource.Create(connectionString);
        var (log, sheets) = await LogAsync(source);
        var expected = posted.Select(
            one => EventIdentity.EventId(ReliabilityStore.DefaultOrganisation, one.Source, one.EventId)).Order().ToList();
        Assert.Equal(expected, log.Select(entry => entry.EventId).Order());

        var ids = await ReadAsync(
            source, "select event_id, window_number from reliability.posted_event", row => (EventId: row.GetGuid(0), Window: row.GetInt64(1)));
        Assert.Equal(log.Order(), ids.Order());

        var windows = await ReadAsync(
            source,
            "select window_number, exists (select from reliability.mt_events where seq_id = position) from reliability.commit_window",
            row => (Window: row.GetInt64(0), Ends: row.GetBoolean(1)));
        Assert.Equal(ids.Select(id => id.Window).Distinct().Order(), windows.Select(window => window.Window).Order());
        Assert.All(windows, window => Assert.True(window.Ends, $"Window {window.Window} ends at no event of the log."));
        output.WriteLine($"In PostgreSQL: {log.Count} events in {windows.Count} commits, {sheets} sheets among them, {ids.Count} posted ids.");
    }

    /// <summary>Each event of the log and the number of the commit it bears, and how many sheets there are.</summary>
    private static async Task<(List<(Guid EventId, long Window)> Log, int Sheets)> LogAsync(NpgsqlDataSource source)
    {
        var rows = await ReadAsync(
            source,
            """
            select id, correlation_id, tenant_id, timestamp, bdata from reliability.mt_events where type not like 'module_model_%'
            """,
            row =>
            {
                var window = long.Parse(row.GetString(1), CultureInfo.InvariantCulture);
                return row.IsDBNull(4)
                    ? (IReadOnlyList<(Guid, long)>)[(row.GetGuid(0), window)]
                    :
                    [
                        .. new ReadingSheet(row.GetFieldValue<byte[]>(4))
                            .Readings(row.GetString(2), row.GetFieldValue<DateTimeOffset>(3))
                            .Select(reading => (reading.EventId, window)),
                    ];
            });
        return ([.. rows.SelectMany(row => row)], rows.Count(row => row.Count > 1));
    }

    private static async Task<List<T>> ReadAsync<T>(NpgsqlDataSource source, string sql, Func<NpgsqlDataReader, T> map)
    {
        await using var command = source.CreateCommand(sql);
        await using var reader = await command.ExecuteReaderAsync(TestContext.Current.CancellationToken);
        var rows = new List<T>();
        while (await reader.ReadAsync(TestContext.Current.CancellationToken))
            rows.Add(map(reader));
        return rows;
    }
}
