using Reliability.History.Events;
using Reliability.History.Identifiers;
using Reliability.History.Lives;

namespace Reliability.Store.Modules;

/// <summary>Conditions on modules, all of which must hold. A null asks for nothing.</summary>
public sealed record ModuleFilter
{
    /// <summary>Id of the module model.</summary>
    public string? Model { get; init; }

    /// <summary>Site of the host device it is fitted in.</summary>
    public string? Site { get; init; }

    /// <summary>The host device it is fitted in.</summary>
    public string? HostDevice { get; init; }

    /// <summary>Model of that host device.</summary>
    public string? HostModel { get; init; }

    /// <summary>The maker's lot.</summary>
    public string? Lot { get; init; }

    /// <summary>Who renewed its wearing part last.</summary>
    public string? Refurbisher { get; init; }

    /// <summary>How many times its wearing part has been renewed.</summary>
    public int? RefurbishmentCount { get; init; }

    /// <summary>Where it is in its life.</summary>
    public ModuleState? State { get; init; }

    /// <summary>Leave out modules that are out of use for good.</summary>
    public bool LeaveOutRetired { get; init; }

    /// <summary>Serial number.</summary>
    public string? SerialNumber { get; init; }

    /// <summary>Unique device identifier.</summary>
    public string? Udi { get; init; }

    /// <summary>Asset number.</summary>
    public string? AssetNumber { get; init; }

    /// <summary>Whether a module is selected. Says the same as the query over stored states.</summary>
    /// <param name="module">The module as derived.</param>
    /// <returns>True when every condition holds.</returns>
    public bool Matches(DerivedModule module)
    {
        ArgumentNullException.ThrowIfNull(module);
        return Is(Model, module.ModelId)
            && Is(Site, module.Site)
            && Is(HostDevice, module.HostDevice)
            && Is(HostModel, module.HostModel)
            && Is(Lot, module.Lot)
            && Is(Refurbisher, module.Condition?.Refurbisher)
            && (RefurbishmentCount is not { } count || module.Condition?.RefurbishmentCount == count)
            && (State is not { } state || module.State == state)
            && !(LeaveOutRetired && module.State == ModuleState.Retired)
            && Has(IdentifierKind.Serial, SerialNumber)
            && Has(IdentifierKind.Udi, Udi)
            && Has(IdentifierKind.Asset, AssetNumber);

        static bool Is(string? asked, string? value) => asked is null || asked == value;

        bool Has(IdentifierKind kind, string? value) =>
            value is null || IdentifierText.FoundBy(module.Identifiers).Contains(
                new() { Kind = kind, Value = IdentifierText.Canonical(kind, value) });
    }
}
