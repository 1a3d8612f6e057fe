using System.Globalization;
using Reliability.Files.Json;
using Reliability.History.Events;
using Reliability.History.Identifiers;
using Reliability.Service.Errors;
using Reliability.Service.Events;
using Reliability.Store.Modules;

namespace Reliability.Service.Filters;

/// <summary>Filters of modules, as ListModules and PredictFailures take them.</summary>
internal static class ModuleFilters
{
    private const string Field = "filter";
    private const string StatePrefix = "MODULE_STATE_";

    private const string Fields = "module_model, site, host_device, host_model, lot, refurbisher, refurbishment_count, state, "
        + "serial_number, udi, asset_number";

    /// <summary>
    /// Reads a filter, and tells what is wrong with it. Retired modules are left out unless it names a state or an identifier.
    /// </summary>
    public static ModuleFilter Read(string text, Violations violations)
    {
        var filter = new ModuleFilter();
        if (FilterText.Read(text, out var conditions) is { } broken)
        {
            violations.Add(Field, broken);
            return filter;
        }

        var seen = new HashSet<string>(StringComparer.Ordinal);
        foreach (var (name, value) in conditions)
        {
            if (!seen.Add(name))
                violations.Add(Field, $"names {FieldPath.Printable(name)} twice");
            else
                filter = With(filter, name, value, violations);
        }

        // Who names a state or an identifier says whether retired modules are meant.
        return filter with { LeaveOutRetired = !seen.Overlaps(["state", "serial_number", "udi", "asset_number"]) };
    }

    private static ModuleFilter With(ModuleFilter filter, string name, string value, Violations violations)
    {
        switch (name)
        {
            case "module_model" when ResourceNames.IsModuleModel(value):
                return filter with { Model = ResourceNames.Id(value) };
            case "module_model":
                violations.Add(Field, "has a module_model that " + ResourceNames.ModuleModelRule);
                return filter;
            case "site":
                return filter with { Site = value };
            case "host_device":
                return filter with { HostDevice = value };
            case "host_model":
                return filter with { HostModel = value };
            case "lot":
                return filter with { Lot = value };
            case "refurbisher":
                return filter with { Refurbisher = value };
            case "refurbishment_count" when int.TryParse(value, NumberStyles.None, CultureInfo.InvariantCulture, out var count):
                return filter with { RefurbishmentCount = count };
            case "refurbishment_count":
                violations.Add(Field, "has a refurbishment_count that must be a whole number, 0 or more");
                return filter;
            case "state" when State(value) is { } state:
                return filter with { State = Words.States.ToHistory(state) };
            case "state":
                violations.Add(Field, "has a state that must be one of " + string.Join(
                    ", ", Enum.GetValues<V1.ModuleState>().Skip(1).Select(known => WireName(known)[StatePrefix.Length..])));
                return filter;
            case "serial_number":
                return filter with { SerialNumber = value };
            case "udi" when IdentifierText.BrokenRule(IdentifierKind.Udi, value) is { } rule:
                violations.Add(Field, "has a udi that " + rule);
                return filter;
            case "udi":
                return filter with { Udi = value };
            case "asset_number":
                return filter with { AssetNumber = value };
            default:
                violations.Add(Field, $"names {FieldPath.Printable(name)}, which is none of {Fields}");
                return filter;
        }
    }

    /// <summary>A state by its full name, or without the prefix that all share.</summary>
    private static V1.ModuleState? State(string text) => Enum.GetValues<V1.ModuleState>().Skip(1)
        .Where(state => WireName(state) == text || WireName(state) == StatePrefix + text)
        .Select(state => (V1.ModuleState?)state).FirstOrDefault();

    private static string WireName(V1.ModuleState state) =>
        V1.ModuleHistoryServiceReflection.Descriptor.EnumTypes.Single(type => type.Name == nameof(V1.ModuleState))
            .FindValueByNumber((int)state).Name;
}
