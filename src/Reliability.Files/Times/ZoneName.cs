using Google.Protobuf.WellKnownTypes;
using NodaTime;
using NodaTime.Text;
using NodaTime.TimeZones;

namespace Reliability.Files.Times;

/// <summary>
/// A time zone by its IANA name, or none. Days and times without an offset are read in it. Without one a day is a day in
/// UTC as far as this client is concerned, and the service takes it for a day in its own zone.
/// </summary>
public sealed class ZoneName
{
    private static readonly OffsetDateTimePattern[] Instants =
    [
        OffsetDateTimePattern.CreateWithInvariantCulture("uuuu'-'MM'-'dd'T'HH':'mm':'ss;FFFFFFFFFo<Z+HH:mm>"),
        OffsetDateTimePattern.CreateWithInvariantCulture("uuuu'-'MM'-'dd'T'HH':'mmo<Z+HH:mm>"),
    ];

    private static readonly LocalDateTimePattern[] LocalTimes =
    [
        LocalDateTimePattern.CreateWithInvariantCulture("uuuu'-'MM'-'dd'T'HH':'mm':'ss;FFFFFFFFF"),
        LocalDateTimePattern.CreateWithInvariantCulture("uuuu'-'MM'-'dd'T'HH':'mm"),
    ];

    private readonly DateTimeZone? _zone;

    private ZoneName(string name, DateTimeZone? zone)
    {
        Name = name;
        _zone = zone;
    }

    /// <summary>No zone.</summary>
    public static ZoneName None { get; } = new("", null);

    /// <summary>Its name; empty for none.</summary>
    public string Name { get; }

    /// <summary>Looks a zone up.</summary>
    public static bool TryFind(string name, out ZoneName zone)
    {
        DateTimeZone? found = name.Length == 0 ? null : DateTimeZoneProviders.Tzdb.GetZoneOrNull(name);
        zone = new ZoneName(name, found);
        return name.Length == 0 || found is not null;
    }

    /// <summary>Reads a day, such as 2024-03-31, or an instant, such as 2024-03-31T08:00Z.</summary>
    public bool TryRead(string text, out TimeValue value, out string problem)
    {
        if (LocalDatePattern.Iso.Parse(text) is { Success: true, Value: LocalDate day })
        {
            // Noon is within the day in every zone's reading of it, whatever its clocks do at night.
            value = new TimeValue(Stamp(day.At(LocalTime.Noon).InZoneLeniently(_zone ?? DateTimeZone.Utc).ToInstant()), true);
            problem = "";
            return true;
        }
        bool read = TryReadInstant(text, out Timestamp time, out problem);
        value = new TimeValue(time, false);
        return read;
    }

    /// <summary>Reads a day, of which the first instant is meant, or an instant.</summary>
    public bool TryReadFrom(string text, out Timestamp time, out string problem) =>
        TryReadEdge(text, 0, out time, out problem);

    /// <summary>Reads a day, of which the end is meant: the first instant of the next, when all of it has happened; or an instant.</summary>
    public bool TryReadUntil(string text, out Timestamp time, out string problem) =>
        TryReadEdge(text, 1, out time, out problem);

    private bool TryReadEdge(string text, int daysOn, out Timestamp time, out string problem)
    {
        if (LocalDatePattern.Iso.Parse(text) is { Success: true, Value: LocalDate day })
        {
            time = Stamp(day.PlusDays(daysOn).AtStartOfDayInZone(_zone ?? DateTimeZone.Utc).ToInstant());
            problem = "";
            return true;
        }
        return TryReadInstant(text, out time, out problem);
    }

    private bool TryReadInstant(string text, out Timestamp time, out string problem)
    {
        string standard = text.Length > 10 && text[10] == ' ' ? text[..10] + "T" + text[11..] : text;
        problem = "";
        foreach (OffsetDateTimePattern pattern in Instants)
        {
            if (pattern.Parse(standard) is { Success: true, Value: OffsetDateTime value })
            {
                time = Stamp(value.ToInstant());
                return true;
            }
        }
        time = new Timestamp();
        foreach (LocalDateTimePattern pattern in LocalTimes)
        {
            if (pattern.Parse(standard) is { Success: true, Value: LocalDateTime value })
                return TryPlace(text, value, out time, out problem);
        }
        problem = $"{Quoted.Of(text)} is neither a day such as 2024-03-31 nor a time such as 2024-03-31T08:00:00Z";
        return false;
    }

    private bool TryPlace(string text, LocalDateTime value, out Timestamp time, out string problem)
    {
        time = new Timestamp();
        if (_zone is null)
        {
            problem = $"{Quoted.Of(text)} has neither an offset, such as Z or +01:00, nor a zone beside it";
            return false;
        }
        ZoneLocalMapping mapping = _zone.MapLocal(value);
        problem = mapping.Count switch
        {
            0 => $"{Quoted.Of(text)} does not exist in {Name}: the clocks were put on then; give an offset",
            1 => "",
            _ => $"{Quoted.Of(text)} happened twice in {Name}: the clocks were put back then; give an offset",
        };
        if (mapping.Count == 1)
            time = Stamp(mapping.Single().ToInstant());
        return mapping.Count == 1;
    }

    private static Timestamp Stamp(Instant instant) => Timestamp.FromDateTimeOffset(instant.ToDateTimeOffset());
}
