using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.History.Lives;

/// <summary>Whether an event of the record counts.</summary>
[JsonConverter(typeof(WordEnumConverter<EventStanding>))]
public enum EventStanding
{
    /// <summary>It counts.</summary>
    Counted,

    /// <summary>Something it rests on has not arrived; it counts once that comes.</summary>
    Unresolved,

    /// <summary>It was retracted.</summary>
    Retracted,

    /// <summary>It was replaced: another event counts in its place.</summary>
    Replaced,

    /// <summary>It reports what another event reports.</summary>
    Duplicate,

    /// <summary>It reports a life that the module's events, or a later report, tell better.</summary>
    Superseded,

    /// <summary>None of its readings fits the others.</summary>
    LeftOut,

    /// <summary>It contradicts another event and does not count.</summary>
    Conflict,

    /// <summary>It happened after the data cut-off.</summary>
    AfterCutoff,
}
