using Reliability.History.Events;

namespace Reliability.History.Identifiers;

/// <summary>One spelling for each identifier, so that a module is found however its identifier was typed or scanned.</summary>
public static class IdentifierText
{
    /// <summary>What separates element strings in a scanned unique device identifier: FNC1, sent as ASCII 29.</summary>
    public const char Separator = Gs1Reader.Separator;

    /// <summary>
    /// The spelling under which an identifier is looked up. Of a GS1 unique device identifier the form with parentheses; of
    /// everything else, and of what cannot be read, the text without blanks around it.
    /// </summary>
    /// <param name="kind">Kind of the identifier.</param>
    /// <param name="value">The identifier as typed or scanned.</param>
    public static string Canonical(IdentifierKind kind, string value) =>
        kind == IdentifierKind.Udi && Gs1Udi.BeginsAsGs1(value) && Gs1Udi.TryRead(value, out var udi, out _)
            ? udi.Canonical
            : value.Trim();

    /// <summary>The identifier under its one spelling.</summary>
    /// <param name="identifier">An identifier as typed or scanned.</param>
    public static ModuleIdentifier Canonical(ModuleIdentifier identifier) =>
        identifier with { Value = Canonical(identifier.Kind, identifier.Value) };

    /// <summary>The rule that an identifier breaks in itself; null when it breaks none.</summary>
    /// <param name="kind">Kind of the identifier.</param>
    /// <param name="value">The identifier as typed or scanned.</param>
    public static string? BrokenRule(IdentifierKind kind, string value) =>
        kind == IdentifierKind.Udi && Gs1Udi.BeginsAsGs1(value) && !Gs1Udi.TryRead(value, out _, out var fault)
            ? $"begins as a GS1 element string and is none, {fault}"
            : null;

    /// <summary>The rule that keeps an identifier from naming one module; null when it can. It must be right in itself.</summary>
    /// <param name="kind">Kind of the identifier.</param>
    /// <param name="value">The identifier as typed or scanned.</param>
    public static string? WhyNotOneModule(IdentifierKind kind, string value) =>
        kind == IdentifierKind.Udi && Gs1Udi.BeginsAsGs1(value) && Gs1Udi.TryRead(value, out var udi, out _) && udi.Serial is null
            ? "must have a serial number (21) to name one module: without it, it stands for a type or a lot"
            : null;

    /// <summary>
    /// What a module with these identifiers is found by. The serial number within a unique device identifier is among it:
    /// it finds, among others, the modules that carry it, but joins nothing, since only with its GTIN it names one module.
    /// </summary>
    /// <param name="identifiers">The identifiers of one module.</param>
    public static IReadOnlyList<ModuleIdentifier> FoundBy(IEnumerable<ModuleIdentifier> identifiers)
    {
        var found = new List<ModuleIdentifier>();
        foreach (var identifier in identifiers)
        {
            found.Add(Canonical(identifier));
            if (identifier.Kind == IdentifierKind.Udi && Gs1Udi.BeginsAsGs1(identifier.Value)
                && Gs1Udi.TryRead(identifier.Value, out var udi, out _) && udi.Serial is { } serial)
            {
                found.Add(new() { Kind = IdentifierKind.Serial, Value = serial });
            }
        }

        return [.. found.Distinct()];
    }
}
