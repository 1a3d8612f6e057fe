namespace Reliability.Plots.Tests.Sheets;

/// <summary>A file name in a folder of its own that goes away.</summary>
internal sealed class TemporaryFile : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("reliability-plots-");

    public TemporaryFile(string name) => Path = System.IO.Path.Combine(_folder.FullName, name);

    public string Path { get; }

    public void Dispose() => _folder.Delete(recursive: true);
}
