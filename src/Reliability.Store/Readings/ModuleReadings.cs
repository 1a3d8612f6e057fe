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
internal sealed class ModuleReadings(Database database)
{
    /// <summary>Sheets filed at a time; so many fit into memory whatever they hold.</summary>
    public const int RunSheets = 100;

    private const int RowsAtATime = 5000;

    /// <summary>Files the sheets of a stretch of the log, a run after the other.</summary>
    /// <param name="organisation">The organisation that they belong to.</param>
    /// <param name="floor">Position behind which the stretch begins.</param>
    /// <param name="ceiling">Position at which it ends.</param>
    /// <param name="sheets">All sheets of the organisation between, in order.</param>
    /// <param name="cancellation">Ends the filing.</param>
    /// <returns>The keys that have readings in the stretch.</returns>
    public async Task<IReadOnlySet<string>> FileAsync(
        string organisation, long floor, long ceiling, IReadOnlyList<StoredSheet> sheets, CancellationToken cancellation)
    {
        var keys = new HashSet<string>(StringComparer.Ordinal);
        for (var filed = 0; filed < sheets.Count; filed += RunSheets)
        {
            var run = sheets.Skip(filed).Take(RunSheets).ToList();
            var end = filed + RunSheets < sheets.Count ? run[^1].Position : ceiling;
            keys.UnionWith(await FileRunAsync(organisation, floor, end, run, cancellation));
            floor = end;
        }
        return keys;
    }

    private async Task<IReadOnlyCollection<string>> FileRunAsync(
        string organisation, long floor, long ceiling, IReadOnlyList<StoredSheet> sheets, CancellationToken cancellation)
    {
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
                    where there.ceiling_position < excluded.ceiling_position
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

    private static Dictionary<string, List<(StoredSheet Sheet, SheetBlock Block)>> ByKey(IReadOnlyList<StoredSheet> sheets)
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
