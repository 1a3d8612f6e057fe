using Microsoft.Extensions.Logging;
using Reliability.Store.Aliases;
using Reliability.Store.Log;
using Reliability.Store.Readings;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>
/// Makes everything anew that follows from the log, on top of the rows that are there: changes of aliases, readings by module,
/// then states, identifiers and lives of every module. Posts, answers and the projection go on meanwhile.
/// </summary>
internal sealed class LivesRebuild(Database database, ILogger log)
{
    /// <summary>Modules derived in one turn; between turns the projection gets its own.</summary>
    private const int ModulesATurn = 500;

    private readonly AliasRebuild _aliases = new(database);
    private readonly ModuleReadings _readings = new(database);
    private readonly RecordReader _records = new(database);
    private readonly LivesUpdate _update = LivesUpdate.Gentle(database, log);

    /// <summary>Rebuilds all organisations.</summary>
    /// <returns>How many modules were derived.</returns>
    public async Task<long> RunAsync(CancellationToken cancellation)
    {
        var reached = await LogProgress.ReadAsync(database, LogProgress.Lives(database), cancellation);
        await _aliases.RunAsync(reached, cancellation);
        await FileReadingsAsync(reached, cancellation);
        var organisations = await database.ReadAsync(
            $"select distinct tenant_id from {database.Schema}.mt_streams", [], reader => reader.GetString(0), cancellation);
        var modules = 0L;
        foreach (var organisation in organisations)
            await foreach (var turn in _records.ModulesAsync(organisation, cancellation).Chunk(ModulesATurn))
            {
                await _update.UpdateAsync(organisation, turn, cancellation);
                modules += turn.Length;
            }
        return modules;
    }

    /// <summary>
    /// Files all readings anew that lives have come to, in runs from the beginning; then takes out the rows of the runs that
    /// the projection made, which are many and small. In between readings are there twice, which does no harm. A run of the
    /// projection never reaches further than the one from the same floor here, since both take as many sheets as there are.
    /// </summary>
    private async Task FileReadingsAsync(long reached, CancellationToken cancellation)
    {
        var floors = new List<long>();
        for (var position = 0L; position < reached;)
        {
            var run = await _readings.NextRunAsync(position, reached, cancellation);
            foreach (var organisation in run.Sheets) await _readings.FileAsync(organisation.Key, run, cancellation);
            floors.Add(position);
            position = run.Ceiling;
        }
        await _readings.KeepOnlyAsync(floors, reached, cancellation);
    }
}
