using System.Text.Json;
using System.Text.Json.Serialization;
using Reliability.History.Events;

namespace Reliability.Store.Records;

/// <summary>A reading in version 2: its instant once, or the ends of the day on which it was taken.</summary>
internal sealed class CompactReading : JsonConverter<MeterReading>
{
    public override MeterReading Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        var stored = CompactTime.Read(ref reader);
        return new MeterReading
        {
            Earliest = stored.From,
            Latest = stored.To,
            Hours = stored.Hours ?? throw new JsonException("A stored reading has no hours."),
        };
    }

    public override void Write(Utf8JsonWriter writer, MeterReading value, JsonSerializerOptions options)
    {
        writer.WriteStartObject();
        if (value.Earliest == value.Latest)
        {
            writer.WriteString(CompactTime.At, value.Earliest.UtcDateTime);
        }
        else
        {
            writer.WriteString(CompactTime.From, value.Earliest.UtcDateTime);
            writer.WriteString(CompactTime.To, value.Latest.UtcDateTime);
        }
        writer.WriteNumber(CompactTime.Hours, value.Hours);
        writer.WriteEndObject();
    }
}
