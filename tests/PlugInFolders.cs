namespace Reliability;

/// <summary>A directory of plug-ins of one test's own, filled with those that were built for the tests. Linked into the projects that need it.</summary>
internal sealed class PlugInFolders : IDisposable
{
    /// <summary>Path of the directory.</summary>
    public string Path { get; } = Directory.CreateTempSubdirectory("reliability-plug-ins-").FullName;

    /// <summary>Lays a plug-in into the directory.</summary>
    /// <param name="project">Which one of tests/PlugIns.</param>
    /// <param name="name">Name of the folder; one that is there already gets its files besides.</param>
    /// <returns>Path of the folder.</returns>
    public string Add(string project, string name)
    {
        var folder = Directory.CreateDirectory(System.IO.Path.Combine(Path, name)).FullName;
        foreach (var file in Directory.GetFiles(Repository.Path("tests/PlugIns/bin/" + project)))
            File.Copy(file, System.IO.Path.Combine(folder, System.IO.Path.GetFileName(file)), overwrite: true);
        return folder;
    }

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
