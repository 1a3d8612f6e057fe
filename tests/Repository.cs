namespace Reliability;

/// <summary>Files of the repository, found from where the tests were built to. Linked into the test projects that need it.</summary>
internal static class Repository
{
    /// <summary>The path of a file or folder, given from the root.</summary>
    public static string Path(string name)
    {
        for (DirectoryInfo? folder = new(AppContext.BaseDirectory); folder is not null; folder = folder.Parent)
        {
            if (File.Exists(System.IO.Path.Combine(folder.FullName, "Reliability.sln")))
                return System.IO.Path.Combine(folder.FullName, name);
        }
        throw new DirectoryNotFoundException("The repository is not above the tests.");
    }
}
