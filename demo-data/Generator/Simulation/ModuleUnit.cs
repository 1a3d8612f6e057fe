using Reliability.DemoData.Scenario;

namespace Reliability.DemoData.Simulation;

/// <summary>One module, through all its lives.</summary>
internal sealed class ModuleUnit(Family family, string id, string serialNumber, string lot)
{
    /// <summary>Its family.</summary>
    public Family Family { get; } = family;

    /// <summary>Its resource id.</summary>
    public string Id { get; } = id;

    /// <summary>Its serial number.</summary>
    public string SerialNumber { get; } = serialNumber;

    /// <summary>Its lot.</summary>
    public string Lot { get; } = lot;

    /// <summary>How often it was refurbished so far.</summary>
    public int RefurbishmentCount { get; set; }

    /// <summary>Who refurbished it last; empty when new.</summary>
    public string Refurbisher { get; set; } = "";

    /// <summary>What its own hour meter shows: all hours it has run.</summary>
    public double OwnMeterHours { get; set; }
}
