using System.Globalization;
using Reliability.Engine.Remote;
using Reliability.Service.Hosting;

namespace Reliability.Service.PlugIns;

/// <summary>Reads Engine:RemotePlugIns: plug-ins in processes of their own.</summary>
internal static class RemotePlugInConfiguration
{
    public const string Key = "Engine:RemotePlugIns";

    private static readonly string[] Fields =
    [
        nameof(RemotePlugInSettings.Id), nameof(RemotePlugInSettings.Command), nameof(RemotePlugInSettings.Arguments),
        nameof(RemotePlugInSettings.Environment), nameof(RemotePlugInSettings.Address), nameof(RemotePlugInSettings.Deadline),
        nameof(RemotePlugInSettings.StartDeadline), nameof(RemotePlugInSettings.MemoryLimit), nameof(RemotePlugInSettings.CpuLimit),
        nameof(RemotePlugInSettings.ConcurrentCalls),
    ];

    private static readonly (string Unit, long Bytes)[] Units = [("GiB", 1L << 30), ("MiB", 1L << 20), ("KiB", 1L << 10), ("", 1)];

    /// <summary>The settings, in the order of the configuration.</summary>
    /// <exception cref="StartupRefusedException">Something in them is wrong; names each key and the rule.</exception>
    public static IReadOnlyList<RemotePlugInSettings> Read(IConfiguration configuration)
    {
        var entries = configuration.GetSection(Key).GetChildren().ToList();
        var faults = new List<string>();
        var settings = entries.ConvertAll(entry => Read(entry, faults));
        if (faults.Count == 0)
            faults.AddRange(RemotePlugInRules.Broken(settings).Select(fault => $"{entries[fault.Index].Path}:{fault.Field} {fault.Rule}."));
        return faults.Count == 0 ? settings : throw new StartupRefusedException(string.Join(' ', faults));
    }

    private static RemotePlugInSettings Read(IConfigurationSection entry, List<string> faults)
    {
        faults.AddRange(entry.GetChildren().Where(child => !Fields.Contains(child.Key, StringComparer.OrdinalIgnoreCase))
            .Select(child => $"{child.Path} is not a setting; there are {string.Join(", ", Fields)}."));
        var usual = new RemotePlugInSettings { Id = entry[nameof(RemotePlugInSettings.Id)] ?? string.Empty };
        return usual with
        {
            Command = entry[nameof(usual.Command)] is { Length: > 0 } command ? command : null,
            Arguments = [.. entry.GetSection(nameof(usual.Arguments)).GetChildren().Select(argument => argument.Value ?? string.Empty)],
            Environment = entry.GetSection(nameof(usual.Environment)).GetChildren()
                .ToDictionary(variable => variable.Key, variable => variable.Value ?? string.Empty),
            Address = Value(nameof(usual.Address), usual.Address, "must be such as http://127.0.0.1:7090 or unix:/run/plug-in.sock", Address),
            Deadline = Value(nameof(usual.Deadline), usual.Deadline, "must be a time such as 00:00:10", Time),
            StartDeadline = Value(nameof(usual.StartDeadline), usual.StartDeadline, "must be a time such as 00:00:30", Time),
            MemoryLimit = Value(nameof(usual.MemoryLimit), usual.MemoryLimit, "must be a size such as 512MiB", Size),
            CpuLimit = Value(nameof(usual.CpuLimit), usual.CpuLimit, "must be a number of processors such as 0.5", Number),
            ConcurrentCalls = Value(nameof(usual.ConcurrentCalls), usual.ConcurrentCalls, "must be a whole number", Whole),
        };

        T Value<T>(string field, T fallback, string rule, Reading<T> read)
        {
            if (entry[field] is not { Length: > 0 } text)
                return fallback;
            if (read(text, out var value))
                return value;
            faults.Add($"{entry.Path}:{field} {rule}; got \"{text}\".");
            return fallback;
        }
    }

    private static bool Address(string text, out Uri? address) => Uri.TryCreate(text, UriKind.Absolute, out address);

    private static bool Time(string text, out TimeSpan time) => TimeSpan.TryParseExact(text, "c", CultureInfo.InvariantCulture, out time);

    private static bool Size(string text, out long size)
    {
        var (unit, bytes) = Units.First(one => text.EndsWith(one.Unit, StringComparison.Ordinal));
        var isSize = long.TryParse(text.AsSpan(0, text.Length - unit.Length), NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            && number <= long.MaxValue / bytes;
        size = isSize ? number * bytes : 0;
        return isSize;
    }

    private static bool Number(string text, out double number) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out number);

    private static bool Whole(string text, out int number) => int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out number);

    private delegate bool Reading<T>(string text, out T value);
}
