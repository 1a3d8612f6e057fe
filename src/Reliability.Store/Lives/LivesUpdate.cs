using Microsoft.Extensions.Logging;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>Derives modules anew and replaces their rows.</summary>
internal sealed class LivesUpdate(Database database, ILogger log)
{
    private readonly Derivation _derivation = new(database);
    private readonly DerivedRows _rows = new(database);
    private readonly RecordReader _records = new(database);

    /// <summary>Derives these modules, a chunk after the other.</summary>
    public async Task UpdateAsync(
        string organisation, IEnumerable<string> modules, CancellationToken cancellation)
    {
        foreach (var chunk in modules.Order(StringComparer.Ordinal).Chunk(RecordReader.Chunk))
        {
            using var activity = StoreTelemetry.Source.StartActivity("derive lives");
            activity?.SetTag("reliability.modules", chunk.Length);
            await _rows.ReplaceAsync(
                organisation, await DeriveAsync(organisation, chunk, cancellation), cancellation);
        }
    }

    /// <summary>Derives every module of every organisation from the log. Reads and posts go on meanwhile.</summary>
    public async Task RebuildAsync(CancellationToken cancellation)
    {
        var organisations = await database.ReadAsync(
            $"select distinct tenant_id from {database.Schema}.mt_streams", [], reader => reader.GetString(0), cancellation);
        foreach (var organisation in organisations)
            await foreach (var chunk in _records.ModulesAsync(organisation, cancellation).Chunk(RecordReader.Chunk))
                await UpdateAsync(organisation, chunk, cancellation);
    }

    /// <summary>
    /// Derives a chunk. A record that the derivation cannot take must not hold up all others: it is told, counted, and
    /// left with the rows it had.
    /// </summary>
    private async Task<IReadOnlyList<DerivedRecord>> DeriveAsync(
        string organisation, string[] modules, CancellationToken cancellation)
    {
        try
        {
            return await _derivation.DeriveAsync(organisation, modules, options: null, cancellation);
        }
        catch (Exception exception) when (
            modules.Length > 1 && exception is not OperationCanceledException and not StoreUnavailableException)
        {
            var derived = new List<DerivedRecord>();
            foreach (var module in modules)
                derived.AddRange(await DeriveAsync(organisation, [module], cancellation));
            return derived;
        }
        catch (Exception exception) when (exception is not OperationCanceledException and not StoreUnavailableException)
        {
            log.LogError(exception, "The lives of module {Module} cannot be derived", modules[0]);
            StoreTelemetry.ModulesFailed.Add(1);
            return [];
        }
    }
}
