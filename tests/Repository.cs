namespace Reliability.Cli.Tests;

/// <summary>Files of the repository, found from where the tests were built to.</summary>
internal static class Repository
{
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
