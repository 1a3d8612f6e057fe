using Reliability.History.Events;
using Reliability.Service.Errors;

namespace Reliability.Service.Events;

/// <summary>Which events a watch asks for.</summary>
internal sealed class WatchChoice(V1.WatchEventsRequest request)
{
    private static readonly IReadOnlyDictionary<string, V1.ModuleEvent.EventOneofCase> Kinds =
        V1.ModuleEvent.Descriptor.Oneofs.Single(oneof => oneof.Name == "event").Fields
            .ToDictionary(field => field.Name, field => (V1.ModuleEvent.EventOneofCase)field.FieldNumber);

    private readonly HashSet<string> _modules = [.. request.Modules.Select(ResourceNames.Id)];
    private readonly HashSet<V1.ModuleEvent.EventOneofCase> _kinds =
        [.. request.EventKinds.Where(Kinds.ContainsKey).Select(kind => Kinds[kind])];

    /// <summary>Adds what is wrong with the kinds asked for.</summary>
    public static void Check(V1.WatchEventsRequest request, Violations violations)
    {
        for (var i = 0; i < request.EventKinds.Count; i++)
        {
            if (!Kinds.ContainsKey(request.EventKinds[i]))
                violations.Add($"event_kinds[{i}]", "must be one of " + string.Join(", ", Kinds.Keys));
        }

        if (request.FromNow && request.AfterRevision.Length > 0)
            violations.Add("from_now", "must not be set with after_revision");
    }

    /// <summary>The event as it is sent, without note and actor; null when it is not asked for.</summary>
    public V1.ModuleEvent? Take(RecordedEvent recorded)
    {
        if (_modules.Count > 0 && !_modules.Contains(recorded.ModuleId))
            return null;
        var wire = EventWire.ToWire(recorded with { Note = null, ActorId = null });
        return _kinds.Count == 0 || _kinds.Contains(wire.EventCase) ? wire : null;
    }
}
