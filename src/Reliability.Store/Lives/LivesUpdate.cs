using System.Collections.Concurrent;
using Microsoft.Extensions.Logging;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>Brings rows up to date: goes on from them where readings follow plainly, and else derives modules anew.</summary>
/// <param name="database">The database.</param>
/// <param name="log">Takes what cannot be derived.</param>
/// <param name="chunk">How many modules are derived at a stretch, which holds a thread for so long.</param>
/// <param name="chunksAtATime">How many chunks are worked on at a time.</param>
/// <param name="waitForDisk">Whether the rows are on disk when it returns.</param>
internal sealed class LivesUpdate(Database database, ILogger log, int chunk, int chunksAtATime, bool waitForDisk)
{
    private readonly Derivation _derivation = new(database);
    private readonly DerivedRows _rows = new(database, waitForDisk);
    private readonly ContinuedRows _continued = new(database, waitForDisk);

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
    public Task UpdateAsync(string organisation, IReadOnlyCollection<string> modules, CancellationToken cancellation) =>
        UpdateAsync(organisation, modules, [], 0, cancellation);

    /// <summary>Derives modules, and goes on with others as far as their rows can be gone on with.</summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="modules">The modules that are derived anew.</param>
    /// <param name="onlyRead">Those onto whose records nothing but sheets came.</param>
    /// <param name="floor">Behind which position the sheets came.</param>
    /// <param name="cancellation">Ends the work; it may be done again.</param>
    public async Task UpdateAsync(
        string organisation, IReadOnlyCollection<string> modules, IReadOnlyCollection<string> onlyRead, long floor,
        CancellationToken cancellation)
    {
        if (modules.Count + onlyRead.Count == 0) return;
        // Who has the turn reads records after the one before has written, so that rows never go back: neither through a rebuild
        // beside the projection nor through a process that thinks itself still in charge.
        await using var turn = await Failure.Translated(
            () => SessionTurn.TakeAsync(database, $"lives/{organisation}", cancellation));
        var derive = new ConcurrentBag<string>(modules);
        await InChunksAsync(onlyRead, async (taken, cancelled) =>
        {
            foreach (var left in await _continued.ContinueAsync(organisation, taken, floor, cancelled)) derive.Add(left);
        }, cancellation);
        await InChunksAsync(derive, (taken, cancelled) => DeriveChunkAsync(organisation, taken, cancelled), cancellation);
    }

    private Task InChunksAsync(
        IReadOnlyCollection<string> modules, Func<string[], CancellationToken, Task> work, CancellationToken cancellation) =>
        Parallel.ForEachAsync(
            modules.Order(StringComparer.Ordinal).Chunk(chunk),
            new ParallelOptions { MaxDegreeOfParallelism = chunksAtATime, CancellationToken = cancellation },
            async (taken, cancelled) => await work(taken, cancelled));

    private async Task DeriveChunkAsync(string organisation, string[] taken, CancellationToken cancellation)
    {
        using var activity = StoreTelemetry.Source.StartActivity("derive lives");
        activity?.SetTag("reliability.modules", taken.Length);
        var derived = await DeriveAsync(organisation, taken, cancellation);
        await _rows.ReplaceAsync(organisation, derived, cancellation);
        var known = derived.SelectMany(record => record.Record.JoinedModules.Append(record.Record.ModuleId))
            .ToHashSet(StringComparer.Ordinal);
        string[] empty = [.. taken.Where(module => !known.Contains(module))];
        if (empty.Length > 0) await _rows.RemoveEmptyAsync(organisation, empty, cancellation);
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
            await _rows.StopAsync(organisation, modules[0], cancellation);
            return [];
        }
    }
}
