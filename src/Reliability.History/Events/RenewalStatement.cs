using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>Whether a repair or refurbishment renewed the wearing part, so that a new life starts.</summary>
[JsonConverter(typeof(WordEnumConverter<RenewalStatement>))]
public enum RenewalStatement
{
    /// <summary>Nobody knows.</summary>
    Unknown,

    /// <summary>The wearing part was renewed.</summary>
    Yes,

    /// <summary>The wearing part was left as it was.</summary>
    No,
}
