namespace Reliability.Store.Records;

/// <summary>
/// What belongs to the record of a module: the one place that says from which stream keys it is read, and whose records
/// change when something comes onto a key.
/// </summary>
internal static class RecordScope
{
    /// <summary>Whether a stream key is a module's: keys of all others have a prefix that ends in a slash.</summary>
    public static bool IsModule(string key) => !key.Contains('/', StringComparison.Ordinal);

    /// <summary>The stream keys that make up the records of modules.</summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="modules">Ids of the modules.</param>
    /// <param name="cancellation">Ends the query.</param>
    public static Task<IReadOnlyDictionary<string, IReadOnlyList<string>>> KeysOfAsync(
        string organisation, IReadOnlyCollection<string> modules, CancellationToken cancellation) =>
        Task.FromResult<IReadOnlyDictionary<string, IReadOnlyList<string>>>(
            modules.ToDictionary(module => module, IReadOnlyList<string> (module) => [module], StringComparer.Ordinal));

    /// <summary>The modules whose records hold what is on these stream keys.</summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="keys">Stream keys that something came onto.</param>
    /// <param name="cancellation">Ends the query.</param>
    public static Task<IReadOnlyCollection<string>> ModulesOfAsync(
        string organisation, IReadOnlyCollection<string> keys, CancellationToken cancellation) =>
        Task.FromResult<IReadOnlyCollection<string>>([.. keys.Where(IsModule)]);
}
