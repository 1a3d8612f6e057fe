using System.Globalization;
using Reliability.Service.Hosting;

namespace Reliability.Service.Uploads;

/// <summary>What an operator may set about uploads.</summary>
/// <param name="MaxFileBytes">Bytes that a file may have at most.</param>
internal sealed record UploadOptions(long MaxFileBytes)
{
    private const string MaxFileBytesKey = "Uploads:MaxFileBytes";

    /// <summary>Reads the settings.</summary>
    /// <exception cref="StartupRefusedException">A setting is malformed.</exception>
    public static UploadOptions Read(IConfiguration configuration)
    {
        if (configuration[MaxFileBytesKey] is not { Length: > 0 } text)
            return new(UploadLimits.MaxFileBytes);
        return long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var bytes) && bytes > 0
            ? new(bytes)
            : throw new StartupRefusedException($"{MaxFileBytesKey} must be a whole number of bytes above zero; got \"{text}\".");
    }
}
