using System.Text.Json;

namespace Reliability.Store.Records;

/// <summary>Members of stored times in version 2, in any order, since the database may change it.</summary>
internal static class CompactTime
{
    public const string At = "at";
    public const string From = "from";
    public const string To = "to";
    public const string Zone = "zone";
    public const string Hours = "hours";

    /// <summary>Reads an object of these members.</summary>
    /// <exception cref="JsonException">Another member, or no time.</exception>
    public static (DateTimeOffset From, DateTimeOffset To, string? Zone, double? Hours) Read(ref Utf8JsonReader reader)
    {
        DateTimeOffset? at = null, from = null, to = null;
        string? zone = null;
        double? hours = null;
        while (reader.Read() && reader.TokenType == JsonTokenType.PropertyName)
        {
            var member = reader.GetString();
            reader.Read();
            switch (member)
            {
                case At: at = reader.GetDateTimeOffset(); break;
                case From: from = reader.GetDateTimeOffset(); break;
                case To: to = reader.GetDateTimeOffset(); break;
                case Zone: zone = reader.GetString(); break;
                case Hours: hours = reader.GetDouble(); break;
                default: throw new JsonException($"A stored time has no member '{member}'.");
            }
        }
        return (from ?? at) is { } start && (to ?? at) is { } end
            ? (start, end, zone, hours)
            : throw new JsonException("A stored time has neither an instant nor two ends.");
    }
}
