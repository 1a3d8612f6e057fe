using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Catalogue;

/// <summary>Which conditions something holds for.</summary>
[JsonConverter(typeof(WordEnumConverter<ConditionClass>))]
public enum ConditionClass
{
    /// <summary>New and refurbished modules.</summary>
    Any,

    /// <summary>New modules.</summary>
    New,

    /// <summary>Modules refurbished once or more.</summary>
    Refurbished,
}
