using Npgsql;

namespace Reliability.Store.Readings;

/// <summary>
/// The table in which readings are found by module: a row a module and run of the log, holding the module's readings out of
/// the sheets of that run.
/// </summary>
/// <remarks>
/// A run begins behind its floor, which is part of the key. A run that is filed again replaces what it filed before; one
/// that reaches less far, filed by a process that thinks itself still in charge, replaces nothing. Rows of runs that overlap
/// hold some readings twice: their positions tell.
/// </remarks>
internal sealed class ModuleReadings(Database database, int runBytes = SheetPages.Bytes)
{
    /// <summary>Sheets filed at a time, fewer where they are large.</summary>
    public const int RunSheets = 100;

    private const int RowsAtATime = 5000;

    /// <summary>The next run of sheets, of all organisations.</summary>
    /// <param name="floor">Position behind which it begins.</param>
    /// <param name="end">Position at which it ends at the latest.</param>
    /// <param name="cancellation">Ends the query.</param>
    public async Task<SheetRun> NextRunAsync(long floor, long end, CancellationToken cancellation)
    {
        var sheets = await database.ReadAsync(
            SheetPages.Query(
                "tenant_id, seq_id, timestamp, bdata",
                $"{database.Schema}.mt_events where seq_id > $1 and seq_id <= $2 and type = '{ReadingSheet.KindName}'",
                RunSheets, runBytes),
            [
                new NpgsqlParameter<long> { TypedValue = floor },
                new NpgsqlParameter<long> { TypedValue = end },
            ],
            reader => (Organisation: reader.GetString(0), Sheet: new StoredSheet(
                reader.GetInt64(1), reader.GetFieldValue<DateTimeOffset>(2),
                new ReadingSheet(reader.GetFieldValue<byte[]>(3))), Offered: reader.GetInt64(4)),
            cancellation);
        return new SheetRun(
            floor,
            sheets.Count > 0 && (sheets.Count < sheets[0].Offered || sheets.Count == RunSheets) ? sheets[^1].Sheet.Position : end,
            sheets.Count,
            sheets.ToLookup(row => row.Organisation, row => row.Sheet, StringComparer.Ordinal));
    }

    /// <summary>Takes out all rows of runs up to a position other than these, whose readings are filed in these.</summary>
    /// <param name="floors">Floors of the runs that stay.</param>
    /// <param name="ceiling">The position.</param>
    /// <param name="cancellation">Ends the work.</param>
    public Task KeepOnlyAsync(IReadOnlyCollection<long> floors, long ceiling, CancellationToken cancellation) =>
        Failure.Translated(async () =>
        {
            await using var command = database.Source.CreateCommand(
                $"""
                delete from {database.Schema}.module_readings
                where ceiling_position <= $1 and floor_position <> all($2)
                """);
            command.CommandTimeout = 0;
            command.Parameters.Add(new NpgsqlParameter<long> { TypedValue = ceiling });
            command.Parameters.Add(new NpgsqlParameter<long[]> { TypedValue = [.. floors] });
            return await command.ExecuteNonQueryAsync(cancellation);
        });

    /// <summary>Files the sheets of an organisation in a run.</summary>
    /// <returns>The keys that have readings in the run.</returns>
    public async Task<IReadOnlyCollection<string>> FileAsync(
        string organisation, SheetRun run, CancellationToken cancellation)
    {
        var (floor, ceiling, sheets) = (run.Floor, run.Ceiling, run.Sheets[organisation]);
        var byKey = ByKey(sheets);
        var scratch = new ByteWriter();
        foreach (var chunk in byKey.OrderBy(entry => entry.Key, StringComparer.Ordinal).Chunk(RowsAtATime))
        {
            var keys = Array.ConvertAll(chunk, entry => entry.Key);
            var readings = Array.ConvertAll(chunk, entry => FiledBytes.Write(scratch, entry.Value.ToArray()));
            await Failure.Translated(async () =>
            {
                await using var command = database.Source.CreateCommand(
                    $"""
                    insert into {database.Schema}.module_readings as there
                      (organisation, module, floor_position, ceiling_position, readings)
                    select $1, module, $2, $3, readings from unnest($4, $5) as filed (module, readings)
                    on conflict (organisation, module, floor_position) do update set
                      ceiling_position = excluded.ceiling_position, readings = excluded.readings
                    where there.ceiling_position <= excluded.ceiling_position
                    """);
                command.Parameters.Add(new NpgsqlParameter<string> { TypedValue = organisation });
                command.Parameters.Add(new NpgsqlParameter<long> { TypedValue = floor });
                command.Parameters.Add(new NpgsqlParameter<long> { TypedValue = ceiling });
                command.Parameters.Add(new NpgsqlParameter<string[]> { TypedValue = keys });
                command.Parameters.Add(new NpgsqlParameter<byte[][]> { TypedValue = readings });
                return await command.ExecuteNonQueryAsync(cancellation);
            });
        }
        return byKey.Keys;
    }

    private static Dictionary<string, List<(StoredSheet Sheet, SheetBlock Block)>> ByKey(IEnumerable<StoredSheet> sheets)
    {
        var byKey = new Dictionary<string, List<(StoredSheet, SheetBlock)>>(StringComparer.Ordinal);
        foreach (var sheet in sheets)
            foreach (var block in sheet.Sheet.Blocks())
            {
                if (!byKey.TryGetValue(block.Key, out var blocks)) byKey.Add(block.Key, blocks = []);
                blocks.Add((sheet, block));
            }
        return byKey;
    }
}
