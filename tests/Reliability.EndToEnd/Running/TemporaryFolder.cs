namespace Reliability.EndToEnd.Running;

/// <summary>Folders for private clusters.</summary>
internal static class TemporaryFolder
{
    /// <summary>A new folder that the database server's own account can pass through.</summary>
    public static string Create()
    {
        var folder = Directory.CreateTempSubdirectory("reliability-e2e-").FullName;
        if (!OperatingSystem.IsWindows())
        {
            File.SetUnixFileMode(
                folder, File.GetUnixFileMode(folder) | UnixFileMode.OtherExecute | UnixFileMode.GroupExecute);
        }

        return folder;
    }
}
