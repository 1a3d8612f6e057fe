using System.Text.Json;
using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.Store.Records;

/// <summary>
/// An occurrence in version 2: an instant as text, a day as an object of its ends and its zone. The ends of a day are kept
/// although date and zone would name it: rules of time zones change, and what was recorded must not change with them.
/// </summary>
internal sealed class CompactOccurrence : JsonConverter<Occurrence>
{
    public override Occurrence Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType == JsonTokenType.String) return Occurrence.AtInstant(reader.GetDateTimeOffset());
        var day = CompactTime.Read(ref reader);
        return Occurrence.OnDay(day.From, day.To, day.Zone ?? throw new JsonException("A stored day has no zone."));
    }

    public override void Write(Utf8JsonWriter writer, Occurrence value, JsonSerializerOptions options)
    {
        if (value.Precision == TimePrecision.Instant)
        {
            if (value.Earliest != value.Latest) throw new JsonException("An instant has equal ends.");
            writer.WriteStringValue(value.Earliest.UtcDateTime);
            return;
        }
        writer.WriteStartObject();
        writer.WriteString(CompactTime.From, value.Earliest.UtcDateTime);
        writer.WriteString(CompactTime.To, value.Latest.UtcDateTime);
        writer.WriteString(CompactTime.Zone, value.Zone);
        writer.WriteEndObject();
    }
}
