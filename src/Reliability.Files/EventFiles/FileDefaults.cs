using Google.Protobuf.WellKnownTypes;
using Reliability.Files.Times;
using Reliability.V1;

namespace Reliability.Files.EventFiles;

/// <summary>What is said for all rows of a file that do not say it themselves.</summary>
/// <param name="Source">The system that posts; empty when not given.</param>
/// <param name="Zone">The zone of days.</param>
/// <param name="CompleteFrom">The date from which the source lists every life, as given; null when not given.</param>
public sealed record FileDefaults(string Source, ZoneName Zone, string? CompleteFrom)
{
    /// <summary>Nothing is said.</summary>
    public static FileDefaults None { get; } = new("", ZoneName.None, null);

    /// <summary>Reads the date from which the source lists every life, in a zone.</summary>
    public Timestamp? CompleteFromIn(ZoneName zone) =>
        CompleteFrom is not null && zone.TryReadFrom(CompleteFrom, out Timestamp time, out _) ? time : null;

    /// <summary>Fills in what an event does not say.</summary>
    public void Fill(ModuleEvent posted)
    {
        if (posted.Source.Length == 0)
            posted.Source = Source;
        if (posted.Zone.Length == 0 && posted.OccurPrecision == OccurPrecision.Day)
            posted.Zone = Zone.Name;
        if (posted.Registered is { CompleteFrom: null } registered)
            registered.CompleteFrom = CompleteFromIn(Zone);
        if (posted.LifeReported is { CompleteFrom: null } life)
            life.CompleteFrom = CompleteFromIn(Zone);
    }
}
