using System.Runtime.CompilerServices;
using Reliability.History.Aliases;
using Reliability.History.Catalogue;
using Reliability.History.Lives;
using Reliability.Store.Catalogue;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>Reads records with the part of the catalogue that they name, and derives.</summary>
internal sealed class Derivation(Database database)
{
    private readonly RecordReader _records = new(database);
    private readonly CatalogueReader _catalogue = new(database);

    /// <summary>
    /// These modules with the readings that lives have come to; those without any event in the view are left out.
    /// </summary>
    public async Task<IReadOnlyList<DerivedRecord>> DeriveAsync(
        string organisation, IReadOnlyList<string> modules, RecordView view, CancellationToken cancellation) =>
        await DeriveAsync(
            organisation, await _records.ReadAsync(organisation, modules, view.AsOfRecordTime, cancellation), view, cancellation);

    /// <summary>A module with every event that has a receipt; null when there is none in the view.</summary>
    public async Task<DerivedRecord?> DeriveLatestAsync(
        string organisation, string module, RecordView view, CancellationToken cancellation) =>
        await _records.ReadLatestAsync(organisation, module, view.AsOfRecordTime, cancellation) is { } record
            && await DeriveAsync(organisation, [record], view, cancellation) is [var derived]
            ? derived
            : null;

    /// <summary>
    /// The modules that conditions on their stored states select, in order of id, derived a chunk at a time: a caller that
    /// stops early pays for little more than it took, and one that takes its time holds no connection.
    /// </summary>
    /// <param name="organisation">The organisation.</param>
    /// <param name="conditions">Makes the conditions.</param>
    /// <param name="from">Id of the module to begin with.</param>
    /// <param name="chunk">How many to derive first; each further chunk is larger, up to the largest.</param>
    /// <param name="view">The view.</param>
    /// <param name="cancellation">Ends the scan.</param>
    public async IAsyncEnumerable<DerivedRecord> ScanAsync(
        string organisation, Func<QueryConditions> conditions, string from, int chunk, RecordView view,
        [EnumeratorCancellation] CancellationToken cancellation)
    {
        var (comparison, place) = (">=", from);
        while (true)
        {
            chunk = Math.Min(chunk, RecordReader.Chunk);
            var asked = conditions();
            asked.Add($"module {comparison} {{0}}", place);
            var modules = await database.ReadAsync(
                $"select module from {database.Schema}.module_state where {asked.Sql} order by module limit {chunk}",
                asked.Parameters, reader => reader.GetString(0), cancellation);
            var derived = await DeriveAsync(organisation, modules, view, cancellation);
            // Of ids that were joined as of an instant there is one record, met again under its primary id.
            foreach (var record in derived.Where(record => modules.Contains(record.Record.ModuleId))
                .OrderBy(record => record.Record.ModuleId, StringComparer.Ordinal))
                yield return record;
            if (modules.Count < chunk) yield break;
            (comparison, place) = (">", modules[^1]);
            chunk *= 2;
        }
    }

    private async Task<IReadOnlyList<DerivedRecord>> DeriveAsync(
        string organisation, IReadOnlyList<StoredRecord> records, RecordView view, CancellationToken cancellation)
    {
        if (view.AsOfRecordTime is { } asOf)
            records = [.. records.Select(record => record.AsOf(asOf)).Where(record => record.Events.Count > 0)];
        var models = await _catalogue.ReadAsync(
            organisation, records.SelectMany(record => record.ModelsNamed).ToHashSet(StringComparer.Ordinal),
            view.AsOfRecordTime, cancellation);
        return [.. records.Select(record => Derive(record, models, view.Derivation))];
    }

    private static DerivedRecord Derive(
        StoredRecord stored, IReadOnlyDictionary<string, StoredModuleModel> models, DerivationOptions options)
    {
        var record = stored.ToRecord();
        var named = stored.ModelsNamed.Select(models.GetValueOrDefault).OfType<StoredModuleModel>().ToList();
        var spellings = stored.SpellingsNamed;
        var aliases = new AliasesMet(stored, spellings);
        var derived = LifeDerivation.Derive(
            aliases.AreMet ? Read(record, stored.Aliases) : record,
            new ModuleCatalogue(named.Select(model => aliases.AreMet ? RecordAliases.Read(model.Model, stored.Aliases) : model.Model)),
            options);
        return new DerivedRecord(
            stored, record, derived, named.Max(model => (long?)model.Revision.Position) ?? 0, spellings, aliases);
    }

    private static ModuleRecord Read(ModuleRecord record, AliasTable aliases) => record with
    {
        Events = [.. record.Events.Select(recorded => RecordAliases.Read(recorded, record.ModuleId, aliases))],
    };
}
