using Npgsql;
using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.Store.Aliases;

namespace Reliability.Store.Records;

/// <summary>Whose records change when something comes onto a stream key.</summary>
internal sealed class RecordScope(Database database)
{
    private readonly AliasReader _aliases = new(database);

    /// <summary>Whether a stream key is a module's: keys of all others have a prefix that ends in a slash.</summary>
    public static bool IsModule(string key) => !key.Contains('/', StringComparison.Ordinal);

    /// <summary>The modules whose records hold what is on these stream keys, or read otherwise by it.</summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="keys">Stream keys that something came onto.</param>
    /// <param name="cancellation">Ends the query.</param>
    public async Task<IReadOnlyCollection<string>> ModulesOfAsync(
        string organisation, IReadOnlyCollection<string> keys, CancellationToken cancellation)
    {
        var modules = keys.Where(IsModule).ToHashSet(StringComparer.Ordinal);
        modules.UnionWith(await FittedInAsync(organisation, [.. keys.Where(HostRecord.Is)], cancellation));
        modules.UnionWith(await NamedByAsync(
            organisation, [.. keys.Select(AliasStream.Alias).OfType<string>()], cancellation));
        return modules;
    }

    /// <summary>The modules that were ever fitted in hosts whose meters counted for them.</summary>
    private async Task<IReadOnlyList<string>> FittedInAsync(
        string organisation, string[] hosts, CancellationToken cancellation) =>
        hosts.Length == 0
            ? []
            : await database.ReadAsync(
                $"select distinct module from {database.Schema}.module_host where organisation = $1 and host = any($2)",
                [
                    new NpgsqlParameter<string> { TypedValue = organisation },
                    new NpgsqlParameter<string[]> { TypedValue = hosts },
                ],
                reader => reader.GetString(0),
                cancellation);

    /// <summary>The modules that these aliases, or others joined with them now or before, are about.</summary>
    private async Task<IReadOnlyList<string>> NamedByAsync(
        string organisation, string[] aliases, CancellationToken cancellation)
    {
        if (aliases.Length == 0) return [];
        var table = await _aliases.ReadAsync(organisation, cancellation);
        var names = (await _aliases.NamesOfAsync(organisation, aliases, cancellation))
            .SelectMany(alias => table.EverJoined(alias.Kind, alias.Alternate).Select(name => new Spelling(alias.Kind, name)))
            .ToHashSet();
        var modules = names.Where(name => name.Kind == AliasKind.Module).Select(name => name.Text);
        string[] spellings = [.. names.Where(name => name.Kind != AliasKind.Module).Select(StoredRecord.Word)];
        return spellings.Length == 0
            ? [.. modules]
            :
            [
                .. modules,
                .. await database.ReadAsync(
                    $"select module from {database.Schema}.module_state where organisation = $1 and spellings_named && $2",
                    [
                        new NpgsqlParameter<string> { TypedValue = organisation },
                        new NpgsqlParameter<string[]> { TypedValue = spellings },
                    ],
                    reader => reader.GetString(0),
                    cancellation),
            ];
    }
}
