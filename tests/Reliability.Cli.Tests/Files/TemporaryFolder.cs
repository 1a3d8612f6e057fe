using System.Text;

namespace Reliability.Cli.Tests.Files;

/// <summary>A folder of its own for a test's files; it goes away with them.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("reliability-cli-");

    public string Path(string name) => System.IO.Path.Combine(_folder.FullName, name);

    public string Write(string name, string text) => Write(name, Encoding.UTF8.GetBytes(text));

    public string Write(string name, byte[] content)
    {
        File.WriteAllBytes(Path(name), content);
        return Path(name);
    }

    public void Dispose() => _folder.Delete(recursive: true);
}
