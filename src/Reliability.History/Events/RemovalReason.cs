using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>Why a module was taken out of its host. Decides, through the outcome policy, how the life ended.</summary>
[JsonConverter(typeof(WordEnumConverter<RemovalReason>))]
public enum RemovalReason
{
    /// <summary>It had failed.</summary>
    Failed,

    /// <summary>Its output was said to be too low.</summary>
    LowOutput,

    /// <summary>It had reached its rated hours.</summary>
    RatedHoursReached,

    /// <summary>Planned work.</summary>
    Planned,

    /// <summary>A newer or better module took its place.</summary>
    Upgrade,

    /// <summary>A recall or a safety notice.</summary>
    RecallOrSafetyNotice,

    /// <summary>The host device was taken out of use.</summary>
    HostRetired,

    /// <summary>A loan went back.</summary>
    LoanReturned,

    /// <summary>Any other reason.</summary>
    Other,
}
