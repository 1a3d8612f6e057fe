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
    /// These modules with the readings that lives have come to; those without any event are left out.
    /// </summary>
    public async Task<IReadOnlyList<DerivedRecord>> DeriveAsync(
        string organisation, IReadOnlyList<string> modules, DerivationOptions? options, CancellationToken cancellation) =>
        await DeriveAsync(
            organisation, await _records.ReadAsync(organisation, modules, cancellation), options, cancellation);

    /// <summary>A module with every event that has a receipt; null when there is none.</summary>
    public async Task<DerivedRecord?> DeriveLatestAsync(
        string organisation, string module, DerivationOptions? options, CancellationToken cancellation) =>
        await _records.ReadLatestAsync(organisation, module, cancellation) is { } record
            ? (await DeriveAsync(organisation, [record], options, cancellation))[0]
            : null;

    private async Task<IReadOnlyList<DerivedRecord>> DeriveAsync(
        string organisation, IReadOnlyList<StoredRecord> records, DerivationOptions? options,
        CancellationToken cancellation)
    {
        var models = await _catalogue.ReadAsync(
            organisation, records.SelectMany(record => record.ModelsNamed).ToHashSet(StringComparer.Ordinal), cancellation);
        var catalogue = new ModuleCatalogue(models.Values.Select(stored => stored.Model));
        return
        [
            .. records.Select(stored =>
            {
                var record = stored.ToRecord();
                return new DerivedRecord(
                    stored,
                    record,
                    LifeDerivation.Derive(record, catalogue, options),
                    stored.ModelsNamed.Max(model => models.GetValueOrDefault(model)?.Revision.Position) ?? 0);
            }),
        ];
    }
}
