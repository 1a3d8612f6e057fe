using Npgsql;
using Reliability.History.Aliases;
using Reliability.History.Events;
using Reliability.Store.Aliases;
using Reliability.Store.Lives;

namespace Reliability.Store.Records;

/// <summary>Whose records change when something comes onto a stream key.</summary>
internal sealed class RecordScope(Database database)
{
    private static readonly string[] Corrections = [.. EventKind.Of<RetractedV1>().Names, .. EventKind.Of<ReplacedV1>().Names];

    private readonly AliasReader _aliases = new(database);

    /// <summary>Whether a stream key is a module's: keys of all others have a prefix that ends in a slash.</summary>
    public static bool IsModule(string key) => !key.Contains('/', StringComparison.Ordinal);

    /// <summary>
    /// The modules whose records hold what came onto stream keys, or read otherwise by it, without those onto whose own keys alone
    /// nothing but sheets came.
    /// </summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="changed">What came.</param>
    /// <param name="cancellation">Ends the query.</param>
    public async Task<HashSet<string>> ModulesOfAsync(
        string organisation, ChangedKeys changed, CancellationToken cancellation)
    {
        var modules = changed.Keys.Where(key => IsModule(key) && !changed.OnlyRead(key)).ToHashSet(StringComparer.Ordinal);
        modules.UnionWith(await FittedInAsync(organisation, changed, cancellation));
        modules.UnionWith(await NamedByAsync(
            organisation, [.. changed.Keys.Select(AliasStream.Alias).OfType<string>()], cancellation));
        return modules;
    }

    /// <summary>
    /// The modules that were fitted in hosts, whose meters counted for them, when those were read; and all that were ever fitted
    /// there when anything but a reading came, or when the host's record holds corrections: those may be of a reading that was
    /// not there before, and tell of another time. When a module was fitted is known from its rows. Anything that would change
    /// that comes onto its own record, and has it derived with all that its hosts ever showed.
    /// </summary>
    private async Task<IReadOnlyList<string>> FittedInAsync(
        string organisation, ChangedKeys changed, CancellationToken cancellation)
    {
        string[] hosts = [.. changed.Keys.Where(HostRecord.Is)];
        if (hosts.Length == 0) return [];
        var within = Array.ConvertAll(hosts, changed.ReadWithin);
        return await database.ReadAsync(
            $"""
            with changed as materialized (
              select host, read_from, read_to, read_from is null or exists (
                select from {database.Schema}.mt_events
                where tenant_id = $1 and stream_id = host and type = any($5)) as whole
              from unnest($2, $3, $4) as keys (host, read_from, read_to))
            select distinct module from {database.Schema}.module_host join changed using (host)
            where organisation = $1
              and (whole or fitted_from is null or (fitted_from <= read_to and coalesce(fitted_to >= read_from, true)))
            """,
            [
                new NpgsqlParameter<string> { TypedValue = organisation },
                new NpgsqlParameter<string[]> { TypedValue = hosts },
                new NpgsqlParameter<DateTimeOffset?[]> { TypedValue = Array.ConvertAll(within, read => read?.From) },
                new NpgsqlParameter<DateTimeOffset?[]> { TypedValue = Array.ConvertAll(within, read => read?.To) },
                new NpgsqlParameter<string[]> { TypedValue = Corrections },
            ],
            reader => reader.GetString(0),
            cancellation);
    }

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
