using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using JasperFx;
using JasperFx.Events;
using JasperFx.Events.Daemon;
using JasperFx.MultiTenancy;
using JasperFx.OpenTelemetry;
using Marten;
using Marten.Services.Json.Transformations;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;
using Reliability.History.Aliases;
using Reliability.Store.Catalogue;
using Reliability.Store.Lives;
using Reliability.Store.Notes;
using Reliability.Store.Readings;
using Reliability.Store.Records;
using Weasel.Core;

namespace Reliability.Store.Schema;

/// <summary>How Marten is set up.</summary>
internal static class MartenSetup
{
    public static ServiceProvider Build(ReliabilityStoreOptions options, Database database, LivesPace pace, ILoggerFactory logs)
    {
        var services = new ServiceCollection();
        services.AddSingleton(logs);
        services.AddLogging();
        services.AddMarten(marten => Configure(marten, options, database, pace, logs))
            .AddAsyncDaemon(DaemonMode.HotCold);
        return services.BuildServiceProvider();
    }

    private static void Configure(
        StoreOptions marten, ReliabilityStoreOptions options, Database database, LivesPace pace, ILoggerFactory logs)
    {
        marten.Connection(database.Source);
        marten.DatabaseSchemaName = options.Schema;
        marten.AutoCreateSchemaObjects = AutoCreate.CreateOrUpdate;
        // As strings, Marten would write enumerations by a converter of its own, in place of our words.
        marten.UseSystemTextJsonForSerialization(StoredForm.Two, EnumStorage.AsInteger, Casing.CamelCase);

        // The organisation is Marten's tenant: it comes first in the keys of streams and events.
        marten.Events.TenancyStyle = TenancyStyle.Conjoined;
        marten.Events.StreamIdentity = StreamIdentity.AsString;
        // No append rests on a version that was read before, so the server may number the events. Rich mode would
        // read every stream first. Decision 0002 says why archived streams are not partitioned off.
        marten.Events.AppendMode = EventAppendMode.Quick;
        marten.Events.EnableBigIntEvents = true;
        // Not woken by NOTIFY: it makes commits queue up for one lock of the database, and its connection outlives the store.
        // Marten would repeat a failed write inside a transaction that PostgreSQL has ended already, and the cause would be lost.
        // Whole commits are repeated instead, by those that made them.
        marten.ConfigureWritePolly(_ => { });
        foreach (var kind in EventKind.All)
        {
            marten.Events.MapEventType(kind.StoredType, kind.Name);
            foreach (var earlier in kind.EarlierNames)
                marten.Events.Upcast(kind.StoredType, earlier, new JsonTransformation(
                    (_, reader, index) => EventKind.Read(earlier, reader.GetFieldValue<byte[]>(index))));
        }
        marten.Events.MapEventType<ReadingSheet>(ReadingSheet.KindName);
        marten.Events.UseBinarySerializer<ReadingSheet>(new ReadingSheetSerializer());
        // Every event bears the number of the window that it was committed in.
        marten.Events.MetadataConfig.CorrelationIdEnabled = true;
        marten.Events.MapEventType<NoteErasedV1>(NoteErasedV1.KindName);
        marten.Events.MapEventType<ModuleModelCreatedV1>("module_model_created_v1");
        marten.Events.MapEventType<ModuleModelUpdatedV1>("module_model_updated_v1");
        marten.Events.MapEventType<AliasCreatedV1>(AliasStream.CreatedName);
        marten.Events.MapEventType<AliasDeletedV1>(AliasStream.DeletedName);

        marten.Events.Subscribe(new LivesSubscription(database, pace, logs.CreateLogger<LivesSubscription>()));
        marten.Projections.FastPollingTime = TimeSpan.FromMilliseconds(100);
        marten.Projections.SlowPollingTime = TimeSpan.FromMilliseconds(100);
        marten.Projections.LeadershipPollingTime = 1000;
        marten.Projections.HealthCheckPollingTime = TimeSpan.FromSeconds(1);
        // There is one subscription, whose pages are loaded one at a time: nothing to throttle. The daemon, when it is stopped,
        // throws its throttle away while a page is being loaded.
        marten.Projections.MaxConcurrentEventLoadsPerDatabase = 0;
        // A failed append leaves a gap in the log's numbers. It is passed over once no transaction is left that could
        // fill it, which Marten makes sure of; there is no need to wait longer than that.
        marten.Projections.StaleSequenceThreshold = TimeSpan.FromMilliseconds(250);
        // Stores in schemas of one database must not wait for each other's leader.
        marten.Projections.DaemonLockId = LockId(options.Schema);

        marten.OpenTelemetry.TrackConnections = TrackLevel.Normal;
        marten.OpenTelemetry.TrackEventCounters();

        foreach (var thing in StoreSchema.Objects(options.Schema)) marten.Storage.ExtendedSchemaObjects.Add(thing);
    }

    /// <summary>A positive number made from the schema's name, the same on every machine.</summary>
    private static int LockId(string schema) =>
        BinaryPrimitives.ReadInt32BigEndian(SHA256.HashData(Encoding.UTF8.GetBytes(schema))) & int.MaxValue;
}
