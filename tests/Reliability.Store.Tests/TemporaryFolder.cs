namespace Reliability.Store.Tests;

internal static class TemporaryFolder
{
    /// <summary>A new folder that the server's account can pass through.</summary>
    public static string Create()
    {
        var folder = Directory.CreateTempSubdirectory("reliability-store-").FullName;
        if (!OperatingSystem.IsWindows())
            File.SetUnixFileMode(
                folder,
                File.GetUnixFileMode(folder) | UnixFileMode.OtherExecute | UnixFileMode.GroupExecute);
        return folder;
    }
}
