using JasperFx.Events.Daemon;
using JasperFx.Events.Projections;
using Marten;
using Marten.Subscriptions;
using Microsoft.Extensions.Logging;
using Npgsql;
using Reliability.Store.Readings;
using Reliability.Store.Records;

namespace Reliability.Store.Lives;

/// <summary>
/// Follows the log: files readings by module, and brings lives and module states up to date. Events only say which modules
/// to look at; what their lives are is derived from the whole record. Marten hands the events on in order, keeps the progress, and lets one
/// process of several do the work.
/// </summary>
internal sealed class LivesSubscription : SubscriptionBase
{
    /// <summary>Name of the progress that tells how far lives have come.</summary>
    public const string ShardName = SubscriptionTitle + ":All";

    private const string SubscriptionTitle = "lives";

    private readonly Database _database;
    private readonly ModuleReadings _readings;
    private readonly LivesUpdate _update;

    public LivesSubscription(Database database, ILogger log)
    {
        _database = database;
        _readings = new ModuleReadings(database);
        _update = new LivesUpdate(database, log);
        Name = SubscriptionTitle;
        IncludeArchivedEvents = true;
        // Pages are small so that progress is told often; a module met twice in a page is derived once.
        Options.BatchSize = 1000;
    }

    public override async Task<IChangeListener> ProcessEventsAsync(
        EventRange page, ISubscriptionController controller, IDocumentOperations operations,
        CancellationToken cancellationToken)
    {
        foreach (var organisation in page.Events.GroupBy(stored => stored.TenantId))
        {
            var keys = new HashSet<string>(StringComparer.Ordinal);
            var models = new HashSet<string>(StringComparer.Ordinal);
            var sheets = new List<StoredSheet>();
            foreach (var stored in organisation)
            {
                if (stored.Data is ReadingSheet sheet)
                    sheets.Add(new StoredSheet(stored.Sequence, stored.Timestamp, sheet));
                else if (CatalogueStream.Model(stored.StreamKey!) is { } model) models.Add(model);
                else keys.Add(stored.StreamKey!);
            }
            keys.UnionWith(await _readings.FileAsync(
                organisation.Key, page.SequenceFloor, page.SequenceCeiling, sheets, cancellationToken));
            var modules = new HashSet<string>(
                await RecordScope.ModulesOfAsync(organisation.Key, keys, cancellationToken), StringComparer.Ordinal);
            modules.UnionWith(await ModulesOfAsync(organisation.Key, models, cancellationToken));
            await _update.UpdateAsync(organisation.Key, modules, cancellationToken);
        }
        return NullChangeListener.Instance;
    }

    /// <summary>The modules whose records name one of the models: thresholds and rated hours change their lives.</summary>
    private async Task<IReadOnlyList<string>> ModulesOfAsync(
        string organisation, HashSet<string> models, CancellationToken cancellation) =>
        models.Count == 0
            ? []
            : await _database.ReadAsync(
                $"select module from {_database.Schema}.module_state where organisation = $1 and models_named && $2",
                [
                    new NpgsqlParameter<string> { TypedValue = organisation },
                    new NpgsqlParameter<string[]> { TypedValue = [.. models] },
                ],
                reader => reader.GetString(0),
                cancellation);
}
