using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>What a removal says of the life.</summary>
[JsonConverter(typeof(WordEnumConverter<OutcomeVerdict>))]
public enum OutcomeVerdict
{
    /// <summary>The life survived so far.</summary>
    Survived,

    /// <summary>The life ended in failure.</summary>
    Failed,

    /// <summary>The life is left out and counted.</summary>
    Excluded,
}
