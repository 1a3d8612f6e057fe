using System.Text.Json.Serialization;
using Reliability.History.Aliases;
using Reliability.History.Catalogue;
using Reliability.History.Events;
using Reliability.History.Lives;
using Reliability.Store.Catalogue;
using Reliability.Store.Lives;
using Reliability.Store.Modules;
using Reliability.Store.Notes;
using Reliability.Store.Records;

namespace Reliability.Store;

/// <summary>
/// The JSON of everything stored: same spelling as <see cref="HistoryJsonContext"/>. Each kind of event is listed by
/// its own class, so that the log says the kind once, as the event's type.
/// </summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    AllowOutOfOrderMetadataProperties = true)]
[JsonSerializable(typeof(StoredEvent<RegisteredV1>))]
[JsonSerializable(typeof(StoredEvent<InstalledV1>))]
[JsonSerializable(typeof(StoredEvent<RunHoursReadV1>))]
[JsonSerializable(typeof(StoredEvent<MeterChangedV1>))]
[JsonSerializable(typeof(StoredEvent<OutputMeasuredV1>))]
[JsonSerializable(typeof(StoredEvent<FailedV1>))]
[JsonSerializable(typeof(StoredEvent<RemovedV1>))]
[JsonSerializable(typeof(StoredEvent<RepairedV1>))]
[JsonSerializable(typeof(StoredEvent<RefurbishedV1>))]
[JsonSerializable(typeof(StoredEvent<RetiredV1>))]
[JsonSerializable(typeof(StoredEvent<RetractedV1>))]
[JsonSerializable(typeof(StoredEvent<ReplacedV1>))]
[JsonSerializable(typeof(StoredEvent<LifeReportedV1>))]
[JsonSerializable(typeof(NoteErasedV1))]
[JsonSerializable(typeof(ModuleModelCreatedV1))]
[JsonSerializable(typeof(ModuleModelUpdatedV1))]
[JsonSerializable(typeof(AliasCreatedV1))]
[JsonSerializable(typeof(AliasDeletedV1))]
[JsonSerializable(typeof(ModuleModel))]
[JsonSerializable(typeof(ModuleSummary))]
[JsonSerializable(typeof(Life))]
[JsonSerializable(typeof(RowContinuation))]
[JsonSerializable(typeof(string[]))]
[JsonSerializable(typeof(Dictionary<string, object>))]
internal sealed partial class StoreJsonContext : JsonSerializerContext;
