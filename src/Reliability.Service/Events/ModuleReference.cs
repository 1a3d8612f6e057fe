using Reliability.History.Events;

namespace Reliability.Service.Events;

/// <summary>How an event says which module it is about: by resource name, or by an identifier.</summary>
internal static class ModuleReference
{
    private const string Rule =
        "must be modules/{module}, or an identifier as serial:..., udi:... or asset:... with 1 to 200 characters";

    private static readonly (string Prefix, IdentifierKind Kind)[] Kinds =
        [("serial:", IdentifierKind.Serial), ("udi:", IdentifierKind.Udi), ("asset:", IdentifierKind.Asset)];

    /// <summary>What is wrong with the reference of an event: the field and the rule it breaks; null when nothing is.</summary>
    public static (string Field, string Rule)? Problem(V1.ModuleEvent posted)
    {
        if (posted.Module.Length > 0)
            return ResourceNames.IsModule(posted.Module) || Identifier(posted.Module) is not null ? null : ("module", Rule);
        if (posted.EventCase != V1.ModuleEvent.EventOneofCase.LifeReported)
            return ("module", Rule);
        return FromRow(posted.LifeReported) is not null
            ? null
            : ("life_reported.identifiers", "must have a serial number or an asset number, as the event names no module");
    }

    /// <summary>The module's id of a checked event: a module known by an identifier has an id made from it.</summary>
    public static string ModuleId(V1.ModuleEvent posted, string organisation)
    {
        if (ResourceNames.IsModule(posted.Module))
            return ResourceNames.Id(posted.Module);
        var identifier = Identifier(posted.Module) ?? FromRow(posted.LifeReported)!;
        return EventIdentity.ModuleId(organisation, identifier.Kind, identifier.Value);
    }

    /// <summary>The identifier that a reference such as <c>serial:A-17</c> holds, or null.</summary>
    public static ModuleIdentifier? Identifier(string reference)
    {
        foreach (var (prefix, kind) in Kinds)
        {
            if (!reference.StartsWith(prefix, StringComparison.Ordinal))
                continue;
            var value = reference[prefix.Length..].Trim();
            return value.Length is >= 1 and <= 200 && !value.Any(char.IsControl) ? new() { Kind = kind, Value = value } : null;
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
