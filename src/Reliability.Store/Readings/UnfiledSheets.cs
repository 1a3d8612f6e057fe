using System.Runtime.CompilerServices;
using Npgsql;
using Reliability.Store.Log;

namespace Reliability.Store.Readings;

/// <summary>The sheets of the log that are not filed by module yet: those behind which lives have not come.</summary>
internal sealed class UnfiledSheets(Database database)
{
    private const int SheetsAtATime = 20, BytesAtATime = 4 * 1024 * 1024;

    /// <summary>These sheets, in order of position. Some may be filed by the time they are read.</summary>
    public async IAsyncEnumerable<StoredSheet> ReadAsync(
        string organisation, [EnumeratorCancellation] CancellationToken cancellation)
    {
        var after = await LogProgress.ReadAsync(database, LogProgress.Lives(database), cancellation);
        while (true)
        {
            var sheets = await database.ReadAsync(
                SheetPages.Query(
                    "seq_id, timestamp, bdata",
                    $"{database.Schema}.mt_events where tenant_id = $1 and type = '{ReadingSheet.KindName}' and seq_id > $2",
                    SheetsAtATime, BytesAtATime),
                [
                    new NpgsqlParameter<string> { TypedValue = organisation },
                    new NpgsqlParameter<long> { TypedValue = after },
                ],
                reader => (Sheet: new StoredSheet(
                    reader.GetInt64(0), reader.GetFieldValue<DateTimeOffset>(1),
                    new ReadingSheet(reader.GetFieldValue<byte[]>(2))), Offered: reader.GetInt64(3)),
                cancellation);
            foreach (var (sheet, _) in sheets) yield return sheet;
            if (sheets.Count == 0 || (sheets.Count == sheets[0].Offered && sheets.Count < SheetsAtATime)) yield break;
            after = sheets[^1].Sheet.Position;
        }
    }
}
