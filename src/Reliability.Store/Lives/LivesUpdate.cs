using Microsoft.Extensions.Logging;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>Derives modules anew and replaces their rows.</summary>
internal sealed class LivesUpdate(Database database, ILogger log)
{
    private readonly Derivation _derivation = new(database);
    private readonly DerivedRows _rows = new(database);

    private static readonly int ChunksAtATime = Math.Clamp(Environment.ProcessorCount, 1, 4);

    /// <summary>Derives these modules, a few chunks at a time.</summary>
    public async Task UpdateAsync(
        string organisation, IReadOnlyCollection<string> modules, CancellationToken cancellation)
    {
        if (modules.Count == 0) return;
        await using var turn = await LivesTurn.TakeAsync(database, organisation, cancellation);
        await Parallel.ForEachAsync(
            modules.Order(StringComparer.Ordinal).Chunk(RecordReader.Chunk),
            new ParallelOptions { MaxDegreeOfParallelism = ChunksAtATime, CancellationToken = cancellation },
            async (chunk, cancelled) =>
            {
                using var activity = StoreTelemetry.Source.StartActivity("derive lives");
                activity?.SetTag("reliability.modules", chunk.Length);
                var derived = await DeriveAsync(organisation, chunk, cancelled);
                await _rows.ReplaceAsync(organisation, derived, cancelled);
                var known = derived.SelectMany(record => record.Record.JoinedModules.Append(record.Record.ModuleId))
                    .ToHashSet(StringComparer.Ordinal);
                string[] empty = [.. chunk.Where(module => !known.Contains(module))];
                if (empty.Length > 0) await _rows.RemoveEmptyAsync(organisation, empty, cancelled);
            });
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
            return await _derivation.DeriveAsync(organisation, modules, RecordView.Present, cancellation);
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
