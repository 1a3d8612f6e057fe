using Microsoft.Extensions.Logging;
using Npgsql;
using Reliability.Store.Log;
using Reliability.Store.Readings;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>
/// Takes a stretch of the log into the tables: files its readings by module, then derives the modules that something came
/// for, each once however often it is met.
/// </summary>
internal sealed class LivesIntake(Database database, ILogger log, int mostPositions = LivesIntake.MostPositions)
{
    // Of other kinds thousands may be one module's, but each may be of another: so many modules at most are derived before the
    // progress is kept.
    private const int MostSheets = 1000, MostPositions = 50_000;

    private readonly ModuleReadings _readings = new(database);
    private readonly LivesUpdate _update = LivesUpdate.Swift(database, log);
    private readonly RecordScope _scope = new(database);

    /// <summary>Takes in what lies behind a position, as far as the log is settled but not without bounds.</summary>
    /// <param name="floor">The position.</param>
    /// <param name="least">A settled position up to which it is taken in at least.</param>
    /// <param name="cancellation">Ends the work; it may be done again.</param>
    /// <returns>The position up to which it was taken in.</returns>
    public async Task<long> TakeInAsync(long floor, long least, CancellationToken cancellation)
    {
        var settled = await LogProgress.ReadAsync(database, LogProgress.Settled(database), cancellation);
        var end = Math.Max(least, Math.Min(settled, floor + mostPositions));
        var changed = new Dictionary<string, ChangedKeys>(StringComparer.Ordinal);
        var position = floor;
        for (var taken = 0; position < end && (position < least || taken < MostSheets);)
        {
            var run = await _readings.NextRunAsync(position, end, cancellation);
            foreach (var sheets in run.Sheets)
                Changed(sheets.Key).Add(sheets.Key, await _readings.FileAsync(sheets.Key, run, cancellation), sheets);
            foreach (var (organisation, key) in await KeysAsync(run, cancellation)) Changed(organisation).Add(key);
            taken += run.Count;
            position = run.Ceiling;
        }
        foreach (var (organisation, keys) in changed) await UpdateAsync(organisation, keys, floor, cancellation);
        return position;

        ChangedKeys Changed(string organisation) => changed.TryGetValue(organisation, out var keys)
            ? keys
            : changed[organisation] = new ChangedKeys();
    }

    private async Task UpdateAsync(string organisation, ChangedKeys changed, long floor, CancellationToken cancellation)
    {
        var modules = await _scope.ModulesOfAsync(organisation, changed, cancellation);
        string[] models = [.. changed.Keys.Select(CatalogueStream.Model).OfType<string>()];
        if (models.Length > 0) modules.UnionWith(await ModulesOfAsync(organisation, models, cancellation));
        var onlyRead = changed.Keys.Where(key => RecordScope.IsModule(key) && !modules.Contains(key)).ToList();
        await _update.UpdateAsync(organisation, modules, onlyRead, floor, cancellation);
    }

    /// <summary>The streams that something other than sheets came onto.</summary>
    private Task<List<(string Organisation, string Key)>> KeysAsync(
        SheetRun run, CancellationToken cancellation) =>
        database.ReadAsync(
            $"""
            select distinct tenant_id, stream_id from {database.Schema}.mt_events
            where seq_id > $1 and seq_id <= $2 and type <> '{ReadingSheet.KindName}'
            """,
            [
                new NpgsqlParameter<long> { TypedValue = run.Floor },
                new NpgsqlParameter<long> { TypedValue = run.Ceiling },
            ],
            reader => (reader.GetString(0), reader.GetString(1)),
            cancellation);

    /// <summary>The modules whose records name one of the models: thresholds and rated hours change their lives.</summary>
    private Task<List<string>> ModulesOfAsync(string organisation, string[] models, CancellationToken cancellation) =>
        database.ReadAsync(
            $"select module from {database.Schema}.module_state where organisation = $1 and models_named && $2",
            [
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]> { TypedValue = models },
            ],
            reader => reader.GetString(0),
            cancellation);
}
