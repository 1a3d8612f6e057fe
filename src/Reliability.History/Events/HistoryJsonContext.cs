using System.Text.Json.Serialization;
using Reliability.History.Aliases;
using Reliability.History.Catalogue;

namespace Reliability.History.Events;

/// <summary>
/// The stored form of events: camel-case names, words for enumerations, nothing written for what is not given. The
/// kind of a body may stand anywhere in its object, since a database may reorder members.
/// </summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
    AllowOutOfOrderMetadataProperties = true)]
[JsonSerializable(typeof(RecordedEvent))]
[JsonSerializable(typeof(EventBody))]
[JsonSerializable(typeof(ModuleModel))]
[JsonSerializable(typeof(AliasCreatedV1))]
[JsonSerializable(typeof(AliasDeletedV1))]
public sealed partial class HistoryJsonContext : JsonSerializerContext;
