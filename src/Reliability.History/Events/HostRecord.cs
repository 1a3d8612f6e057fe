namespace Reliability.History.Events;

/// <summary>
/// The record of a host device's own hour meter, which is posted once for all modules fitted in it. Where events name their
/// module, its events have a key made from the host device's id. Module ids have no slash, so that the two never meet.
/// </summary>
public static class HostRecord
{
    /// <summary>With this the key of every host's record begins.</summary>
    public const string Prefix = "host/";

    /// <summary>The key of a host's record.</summary>
    /// <param name="hostDevice">Id of the host device as installs name it; blanks around it play no part.</param>
    public static string Key(string hostDevice) => Prefix + hostDevice.Trim();

    /// <summary>The host device whose record has a key; null when it is the id of a module.</summary>
    /// <param name="key">A module's id or the key of a host's record.</param>
    public static string? HostDevice(string key) => Is(key) ? key[Prefix.Length..] : null;

    /// <summary>The keys of the records of all hosts whose meter ever counted for a module, by its own events.</summary>
    /// <param name="events">The module's own events, in any order; corrected ones among them do no harm.</param>
    public static IReadOnlyList<string> KeysNamed(IEnumerable<RecordedEvent> events) =>
    [
        .. events.Select(recorded => recorded.Told().Body).OfType<InstalledV1>().Where(install => install.Meter == MeterOwner.Host)
            .Select(install => Key(install.HostDevice)).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal),
    ];

    /// <summary>Whether a key is that of a host's record.</summary>
    /// <param name="key">A module's id or the key of a host's record.</param>
    public static bool Is(string key) => key.StartsWith(Prefix, StringComparison.Ordinal);
}
