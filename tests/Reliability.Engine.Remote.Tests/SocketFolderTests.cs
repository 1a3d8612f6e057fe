using System.Globalization;
using Reliability.Engine.Remote.Processes;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>What a host that was killed left behind goes, and nothing else does.</summary>
public sealed class SocketFolderTests
{
    private static readonly string Gone = int.MaxValue.ToString(CultureInfo.InvariantCulture);

    [Fact]
    public void Folders_of_processes_that_are_gone_are_removed_by_the_next_one()
    {
        using var alive = SocketFolder.Make();
        var (left, fresh, living, held, foreign) = (Old(Gone + "-a"), Made(Gone + "-b"), Old(Environment.ProcessId + "-c"), Old(Gone + "-d"), Old("-e", "other-"));
        using (var inUse = new FileStream(Path.Combine(held, "in-use"), FileMode.Create, FileAccess.ReadWrite, FileShare.None))
        {
            Age(held);
            Age(Path.GetDirectoryName(alive.Socket)!);
            using var next = SocketFolder.Make();
            Assert.True(Directory.Exists(Path.GetDirectoryName(next.Socket)));
        }

        Assert.False(Directory.Exists(left));
        Assert.All([fresh, living, held, foreign, Path.GetDirectoryName(alive.Socket)!], folder => Assert.True(Directory.Exists(folder), folder));
        foreach (var folder in (string[])[fresh, living, held, foreign])
            Directory.Delete(folder, recursive: true);
    }

    [Fact]
    public void A_folder_goes_with_its_owner()
    {
        string folder;
        using (var own = SocketFolder.Make())
        {
            folder = Path.GetDirectoryName(own.Socket)!;
            File.WriteAllText(own.Socket, string.Empty);
        }

        Assert.False(Directory.Exists(folder));
    }

    private static string Made(string name, string prefix = "reliability-plug-in-")
    {
        var folder = Path.Combine(Path.GetTempPath(), prefix + name + Guid.NewGuid().ToString("N"));
        Directory.CreateDirectory(folder);
        File.WriteAllText(Path.Combine(folder, "socket"), string.Empty);
        return folder;
    }

    private static string Old(string name, string prefix = "reliability-plug-in-") => Age(Made(name, prefix));

    private static string Age(string folder)
    {
        Directory.SetLastWriteTimeUtc(folder, DateTime.UtcNow.AddHours(-1));
        return folder;
    }
}
