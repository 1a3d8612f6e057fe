namespace Reliability.DemoData.Tests;

/// <summary>The demo data as committed.</summary>
internal static class CommittedFiles
{
    /// <summary>The folder.</summary>
    public static string Folder { get; } = Repository.Path("demo-data");

    /// <summary>The path of a committed file.</summary>
    public static string PathOf(string name) => Path.Combine(Folder, name);
}
