using Reliability.History.Events;
using Reliability.History.Identifiers;
using EventCase = Reliability.V1.ModuleEvent.EventOneofCase;

namespace Reliability.Service.Events;

/// <summary>
/// How an event says which module it is about: by resource name, by an identifier, or, where it tells of a host device's meter,
/// by that host device.
/// </summary>
internal static class ModuleReference
{
    /// <summary>The longest id of a host device, as in installs.</summary>
    public const int LongestHost = 100;

    private const string Rule = "must be modules/{module}, an identifier as serial:..., udi:... or asset:... with 1 to 200 "
        + "characters, or a host device as host:... with 1 to 100 characters";

    private const string HostPrefix = "host:";

    private static readonly (string Prefix, IdentifierKind Kind)[] Kinds =
        [("serial:", IdentifierKind.Serial), ("udi:", IdentifierKind.Udi), ("asset:", IdentifierKind.Asset)];

    /// <summary>What is wrong with the reference of an event: the field and the rule it breaks; null when nothing is.</summary>
    public static (string Field, string Rule)? Problem(V1.ModuleEvent posted)
    {
        if (posted.Module.Length > 0)
        {
            return ResourceNames.IsModule(posted.Module) ? null
                : HostDevice(posted.Module) is not null ? HostProblem(posted)
                : WhyWrong(posted.Module) is { } rule ? ("module", rule)
                : null;
        }

        if (posted.EventCase != EventCase.LifeReported)
            return ("module", Rule);
        return FromRow(posted.LifeReported) is not null
            ? null
            : ("life_reported.identifiers", "must have a serial number or an asset number, as the event names no module");
    }

    /// <summary>
    /// The module's id of a checked event: a module known by an identifier has an id made from it. For a host device the key of
    /// its record.
    /// </summary>
    public static string ModuleId(V1.ModuleEvent posted, string organisation)
    {
        if (ResourceNames.IsModule(posted.Module))
            return ResourceNames.Id(posted.Module);
        if (HostDevice(posted.Module) is { } host)
            return HostRecord.Key(host);
        var identifier = Identifier(posted.Module) ?? FromRow(posted.LifeReported)!;
        return EventIdentity.ModuleId(organisation, identifier.Kind, identifier.Value);
    }

    /// <summary>The identifier, in its one spelling, that a reference such as <c>serial:A-17</c> holds, or null.</summary>
    public static ModuleIdentifier? Identifier(string reference) =>
        Typed(reference) is { } typed ? IdentifierText.Canonical(typed) : null;

    /// <summary>The host device that a reference such as <c>host:vent-3</c> names, or null.</summary>
    public static string? HostDevice(string reference) =>
        reference.StartsWith(HostPrefix, StringComparison.Ordinal)
        && reference[HostPrefix.Length..].Trim() is { Length: >= 1 and <= LongestHost } host && !host.Any(char.IsControl)
            ? host
            : null;

    /// <summary>What a module's id, or the key of a host's record, is called on the wire.</summary>
    public static string ToWire(string moduleId) =>
        HostRecord.HostDevice(moduleId) is { } host ? HostPrefix + host : ResourceNames.Module(moduleId);

    private static string? WhyWrong(string reference) => Typed(reference) is { } typed
        ? IdentifierText.BrokenRule(typed.Kind, typed.Value) ?? IdentifierText.WhyNotOneModule(typed.Kind, typed.Value)
        : Rule;

    // A host device has a meter and nothing else that is recorded of it. What is wrong can be put right.
    private static (string Field, string Rule)? HostProblem(V1.ModuleEvent posted, string within = "") => posted.EventCase switch
    {
        EventCase.RunHoursRead => MeterProblem(posted.RunHoursRead.Meter, within + "run_hours_read.meter"),
        EventCase.MeterChanged => MeterProblem(posted.MeterChanged.Meter, within + "meter_changed.meter"),
        EventCase.Replaced when within.Length == 0 && posted.Replaced.Event is { } right => HostProblem(right, "replaced.event."),
        EventCase.Retracted or EventCase.Replaced or EventCase.None => null,
        _ => ("module", "must be a module, not a host device: of a host device's meter only run_hours_read and meter_changed are "
            + "recorded, with retracted and replaced to put them right"),
    };

    private static (string Field, string Rule)? MeterProblem(V1.Meter meter, string field) =>
        meter == V1.Meter.Module ? (field, "must be METER_HOST or absent where the event names a host device") : null;

    private static ModuleIdentifier? Typed(string reference)
    {
        foreach (var (prefix, kind) in Kinds)
        {
            if (!reference.StartsWith(prefix, StringComparison.Ordinal))
                continue;
            var value = reference[prefix.Length..].Trim();
            return value.Length is >= 1 and <= 200
                && !value.Any(c => char.IsControl(c) && !(kind == IdentifierKind.Udi && c == IdentifierText.Separator))
                    ? new() { Kind = kind, Value = value }
                    : null;
        }

        return null;
    }

    private static ModuleIdentifier? FromRow(V1.LifeReported row)
    {
        var found = row.Identifiers.FirstOrDefault(identifier => IsOf(identifier, V1.IdentifierKind.SerialNumber))
            ?? row.Identifiers.FirstOrDefault(identifier => IsOf(identifier, V1.IdentifierKind.AssetNumber));
        return found is null ? null : EventMapping.ToHistory(found);
    }

    private static bool IsOf(V1.Identifier identifier, V1.IdentifierKind kind) =>
        identifier.Kind == kind && !string.IsNullOrWhiteSpace(identifier.Value);
}
