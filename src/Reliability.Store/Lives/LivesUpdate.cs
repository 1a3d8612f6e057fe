using Microsoft.Extensions.Logging;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>Derives modules anew and replaces their rows.</summary>
/// <param name="database">The database.</param>
/// <param name="log">Takes what cannot be derived.</param>
/// <param name="chunk">How many modules are derived at a stretch, which holds a thread for so long.</param>
/// <param name="chunksAtATime">How many chunks are worked on at a time.</param>
/// <param name="waitForDisk">Whether the rows are on disk when it returns.</param>
internal sealed class LivesUpdate(Database database, ILogger log, int chunk, int chunksAtATime, bool waitForDisk)
{
    private readonly Derivation _derivation = new(database);
    private readonly DerivedRows _rows = new(database, waitForDisk);

    /// <summary>
    /// For lives that somebody may wait for: as much at a time as the machine has processors for. The projection commits its
    /// progress behind them, to disk, and they with it.
    /// </summary>
    public static LivesUpdate Swift(Database database, ILogger log) =>
        new(database, log, RecordReader.Chunk, Math.Clamp(Environment.ProcessorCount, 1, 4), waitForDisk: false);

    /// <summary>
    /// For lives that are there already: one short stretch after the other. Derivation is all computing, and stretches on every
    /// thread that there is would leave none for posts and answers until they end.
    /// </summary>
    public static LivesUpdate Gentle(Database database, ILogger log) => new(database, log, RecordReader.Chunk / 2, 1, waitForDisk: true);

    /// <summary>Derives these modules, a few chunks at a time.</summary>
    public async Task UpdateAsync(
        string organisation, IReadOnlyCollection<string> modules, CancellationToken cancellation)
    {
        if (modules.Count == 0) return;
        // Who has the turn reads records after the one before has written, so that rows never go back: neither through a rebuild
        // beside the projection nor through a process that thinks itself still in charge.
        await using var turn = await Failure.Translated(
            () => SessionTurn.TakeAsync(database, $"lives/{organisation}", cancellation));
        await Parallel.ForEachAsync(
            modules.Order(StringComparer.Ordinal).Chunk(chunk),
            new ParallelOptions { MaxDegreeOfParallelism = chunksAtATime, CancellationToken = cancellation },
            async (taken, cancelled) =>
            {
                using var activity = StoreTelemetry.Source.StartActivity("derive lives");
                activity?.SetTag("reliability.modules", taken.Length);
                var derived = await DeriveAsync(organisation, taken, cancelled);
                await _rows.ReplaceAsync(organisation, derived, cancelled);
                var known = derived.SelectMany(record => record.Record.JoinedModules.Append(record.Record.ModuleId))
                    .ToHashSet(StringComparer.Ordinal);
                string[] empty = [.. taken.Where(module => !known.Contains(module))];
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
