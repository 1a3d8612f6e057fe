using System.Text.Json;
using System.Text.Json.Serialization;

namespace Reliability.History.Events;

/// <summary>
/// Writes an enumeration as lower-case words joined by hyphens, so that stored bytes can be read by people and survive
/// a change in the order of members. Numbers are not read.
/// </summary>
/// <typeparam name="T">The enumeration.</typeparam>
public sealed class WordEnumConverter<T>() : JsonStringEnumConverter<T>(JsonNamingPolicy.KebabCaseLower, false)
    where T : struct, Enum;
