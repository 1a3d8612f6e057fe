using System.Text.Json;
using System.Text.Json.Serialization.Metadata;
using Reliability.History.Events;

namespace Reliability.Store.Records;

/// <summary>A kind of event: its name in the log, which carries its version, and how it is written and read.</summary>
internal abstract class EventKind(string name, Type bodyType, Type storedType)
{
    /// <summary>Every kind, in every version that was ever stored.</summary>
    public static IReadOnlyList<EventKind> All { get; } =
    [
        new Kind<RegisteredV1>("registered_v1", StoreJsonContext.Default.StoredEventRegisteredV1),
        new Kind<InstalledV1>("installed_v1", StoreJsonContext.Default.StoredEventInstalledV1),
        new Kind<RunHoursReadV1>("run_hours_read_v1", StoreJsonContext.Default.StoredEventRunHoursReadV1),
        new Kind<MeterChangedV1>("meter_changed_v1", StoreJsonContext.Default.StoredEventMeterChangedV1),
        new Kind<OutputMeasuredV1>("output_measured_v1", StoreJsonContext.Default.StoredEventOutputMeasuredV1),
        new Kind<FailedV1>("failed_v1", StoreJsonContext.Default.StoredEventFailedV1),
        new Kind<RemovedV1>("removed_v1", StoreJsonContext.Default.StoredEventRemovedV1),
        new Kind<RepairedV1>("repaired_v1", StoreJsonContext.Default.StoredEventRepairedV1),
        new Kind<RefurbishedV1>("refurbished_v1", StoreJsonContext.Default.StoredEventRefurbishedV1),
        new Kind<RetiredV1>("retired_v1", StoreJsonContext.Default.StoredEventRetiredV1),
        new Kind<RetractedV1>("retracted_v1", StoreJsonContext.Default.StoredEventRetractedV1),
        new Kind<LifeReportedV1>("life_reported_v1", StoreJsonContext.Default.StoredEventLifeReportedV1),
    ];

    private static readonly Dictionary<string, EventKind> ByName = All.ToDictionary(kind => kind.Name);
    private static readonly Dictionary<Type, EventKind> ByBody = All.ToDictionary(kind => kind.BodyType);

    public string Name { get; } = name;

    public Type BodyType { get; } = bodyType;

    public Type StoredType { get; } = storedType;

    /// <summary>The kind with a name in the log.</summary>
    /// <exception cref="InvalidDataException">The name is unknown: a newer version of the service wrote it.</exception>
    public static EventKind Named(string name) => ByName.TryGetValue(name, out var kind)
        ? kind
        : throw new InvalidDataException(
            $"The log holds an event of kind '{name}', which this version of the service does not know.");

    /// <summary>The kind of a body.</summary>
    public static EventKind Of(EventBody body) => ByBody[body.GetType()];

    /// <summary>The event as the log holds it.</summary>
    public abstract StoredEvent Store(RecordedEvent recorded);

    /// <summary>Reads the log's JSON.</summary>
    public abstract StoredEvent Read(ReadOnlySpan<byte> json);

    private sealed class Kind<TBody>(string name, JsonTypeInfo<StoredEvent<TBody>> json)
        : EventKind(name, typeof(TBody), typeof(StoredEvent<TBody>))
        where TBody : EventBody
    {
        public override StoredEvent Store(RecordedEvent recorded) => new StoredEvent<TBody>
        {
            OriginalId = recorded.OriginalId,
            Source = recorded.Source,
            Occurrence = recorded.Occurrence,
            Note = recorded.Note,
            ActorId = recorded.ActorId,
            Body = (TBody)recorded.Body,
        };

        public override StoredEvent Read(ReadOnlySpan<byte> bytes) => JsonSerializer.Deserialize(bytes, json)
            ?? throw new InvalidDataException($"The log holds an empty event of kind '{Name}'.");
    }
}
