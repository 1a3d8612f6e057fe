using System.Globalization;
using Reliability.Service.Hosting;

namespace Reliability.Service.Uploads;

/// <summary>What an operator may set about uploads.</summary>
/// <param name="MaxFileBytes">Bytes that a file may have at most.</param>
/// <param name="MaxPause">How long a sender may send nothing of its file.</param>
internal sealed record UploadOptions(long MaxFileBytes, TimeSpan MaxPause)
{
    private const long MaxPauseSeconds = 24 * 60 * 60;

    /// <summary>Reads the settings.</summary>
    /// <exception cref="StartupRefusedException">A setting is malformed.</exception>
    public static UploadOptions Read(IConfiguration configuration) => new(
        Number(configuration, "Uploads:MaxFileBytes", "a whole number of bytes above zero", long.MaxValue) ?? UploadLimits.MaxFileBytes,
        Number(configuration, "Uploads:MaxPauseSeconds", "a whole number of seconds above zero, a day at most", MaxPauseSeconds) is { } seconds
            ? TimeSpan.FromSeconds(seconds) : UploadLimits.MaxPause);

    private static long? Number(IConfiguration configuration, string key, string rule, long most)
    {
        if (configuration[key] is not { Length: > 0 } text)
            return null;
        return long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number > 0 && number <= most
            ? number
            : throw new StartupRefusedException($"{key} must be {rule}; got \"{text}\".");
    }
}
