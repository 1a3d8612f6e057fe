using System.Text.Json;
using Reliability.History.Events;

namespace Reliability.Store.Records;

/// <summary>A kind of event: its names in the log, which carry the version of its form, and how it is written and read.</summary>
internal abstract class EventKind(string word, int sinceVersion, Type bodyType, Type storedType)
{
    /// <summary>Every kind. What a kind brings in a new version is said in <see cref="StoredForm"/>, for all kinds at once.</summary>
    public static IReadOnlyList<EventKind> All { get; } =
    [
        new Kind<RegisteredV1>("registered"),
        new Kind<InstalledV1>("installed"),
        new Kind<RunHoursReadV1>("run_hours_read"),
        new Kind<MeterChangedV1>("meter_changed"),
        new Kind<OutputMeasuredV1>("output_measured"),
        new Kind<FailedV1>("failed"),
        new Kind<RemovedV1>("removed"),
        new Kind<RepairedV1>("repaired"),
        new Kind<RefurbishedV1>("refurbished"),
        new Kind<RetiredV1>("retired"),
        new Kind<RetractedV1>("retracted"),
        new Kind<LifeReportedV1>("life_reported"),
        new Kind<ReplacedV1>("replaced", sinceVersion: 2),
    ];

    private static readonly Dictionary<string, EventKind> ByName = All
        .SelectMany(kind => kind.Names.Select(name => (name, kind))).ToDictionary(pair => pair.name, pair => pair.kind);

    private static readonly Dictionary<Type, EventKind> ByBody = All.ToDictionary(kind => kind.BodyType);

    /// <summary>The name under which it is written.</summary>
    public string Name { get; } = word + "_v2";

    /// <summary>The names under which earlier versions wrote it.</summary>
    public IReadOnlyList<string> EarlierNames { get; } = sinceVersion == 1 ? [word + "_v1"] : [];

    /// <summary>All names under which it may stand in the log.</summary>
    public IEnumerable<string> Names => [Name, .. EarlierNames];

    public Type BodyType { get; } = bodyType;

    public Type StoredType { get; } = storedType;

    /// <summary>The kind of a body.</summary>
    public static EventKind Of(EventBody body) => ByBody[body.GetType()];

    /// <summary>The kind of a type of body.</summary>
    public static EventKind Of<TBody>()
        where TBody : EventBody => ByBody[typeof(TBody)];

    /// <summary>Reads the log's JSON, whichever version wrote it.</summary>
    /// <param name="name">Name of the event in the log.</param>
    /// <param name="json">Its bytes.</param>
    /// <exception cref="InvalidDataException">The name is unknown: a newer version of the service wrote it.</exception>
    public static StoredEvent Read(string name, ReadOnlySpan<byte> json) => ByName.TryGetValue(name, out var kind)
        ? kind.Read(name == kind.Name ? StoredForm.Two : StoredForm.One, json)
        : throw new InvalidDataException(
            $"The log holds an event of kind '{name}', which this version of the service does not know.");

    /// <summary>The event as the log holds it.</summary>
    public abstract StoredEvent Store(RecordedEvent recorded);

    protected abstract StoredEvent Read(JsonSerializerOptions form, ReadOnlySpan<byte> json);

    private sealed class Kind<TBody>(string word, int sinceVersion = 1)
        : EventKind(word, sinceVersion, typeof(TBody), typeof(StoredEvent<TBody>))
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

        protected override StoredEvent Read(JsonSerializerOptions form, ReadOnlySpan<byte> json) =>
            JsonSerializer.Deserialize(json, StoredForm.Of<StoredEvent<TBody>>(form))
            ?? throw new InvalidDataException($"The log holds an empty event of kind '{Name}'.");
    }
}
