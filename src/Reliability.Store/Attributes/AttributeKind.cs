namespace Reliability.Store.Attributes;

/// <summary>An attribute of lives that people type.</summary>
public enum AttributeKind
{
    /// <summary>Site of the first install.</summary>
    Site,

    /// <summary>Who renewed the wearing part before the life.</summary>
    Refurbisher,

    /// <summary>Host device model of the first install.</summary>
    HostModel,

    /// <summary>The maker's lot.</summary>
    Lot,
}
