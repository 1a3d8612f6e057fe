namespace Reliability.DemoData.Tests;

/// <summary>The demo data as committed.</summary>
internal static class CommittedFiles
{
    /// <summary>The folder, found from the test program upwards.</summary>
    public static string Folder { get; } = Find();

    /// <summary>The path of a committed file.</summary>
    public static string PathOf(string name) => Path.Combine(Folder, name);

    private static string Find()
    {
        for (var folder = new DirectoryInfo(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(Path.Combine(folder.FullName, "Reliability.sln")))
                return Path.Combine(folder.FullName, "demo-data");
        }
        throw new DirectoryNotFoundException("No folder above the test program holds Reliability.sln.");
    }
}
