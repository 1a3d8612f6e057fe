using System.Diagnostics;
using System.Globalization;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Faults.Disks;

/// <summary>A disk in memory whose size can be changed while it is in use.</summary>
internal sealed class SmallDisk : IAsyncDisposable
{
    private const long Mebibyte = 1024 * 1024;
    private const int MostTries = 20;

    private SmallDisk(string folder) => Folder = folder;

    public string Folder { get; }

    public long FreeBytes => new DriveInfo(Folder).AvailableFreeSpace;

    /// <summary>Mounts one. Where that is not allowed the test has failed: it cannot show what it is there to show.</summary>
    public static async Task<SmallDisk> MountAsync(int mebibytes)
    {
        var folder = TemporaryFolder.Create();
        var (exitCode, said) = await RunAsync("mount", "-t", "tmpfs", "-o", Size(mebibytes), "tmpfs", folder);
        if (exitCode != 0)
        {
            Directory.Delete(folder);
            Assert.Fail($"A full disk needs a small tmpfs, and none could be mounted: {said}. Run the tests as root.");
        }

        return new(folder);
    }

    /// <summary>Leaves so many MiB free.</summary>
    public async Task LeaveAsync(int mebibytes)
    {
        // A disk in use may grow between the look and the change, which is then refused; nothing that runs grows it for ever.
        for (var tries = 1; ; tries++)
        {
            var used = new DriveInfo(Folder).TotalSize - FreeBytes;
            var (exitCode, said) = await RemountAsync((int)(used / Mebibyte) + 1 + mebibytes);
            if (exitCode == 0)
                return;
            Assert.True(tries < MostTries, said);
        }
    }

    public async Task ResizeAsync(int mebibytes)
    {
        var (exitCode, said) = await RemountAsync(mebibytes);
        Assert.True(exitCode == 0, said);
    }

    public async ValueTask DisposeAsync()
    {
        var (exitCode, said) = await RunAsync("umount", Folder);
        Assert.True(exitCode == 0, said);
        Directory.Delete(Folder);
    }

    private Task<(int ExitCode, string Said)> RemountAsync(int mebibytes) => RunAsync("mount", "-o", "remount," + Size(mebibytes), Folder);

    private static string Size(int mebibytes) => string.Create(CultureInfo.InvariantCulture, $"size={mebibytes}m,mode=0711");

    private static async Task<(int ExitCode, string Said)> RunAsync(string program, params string[] arguments)
    {
        using var process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardError = true })!;
        var said = await process.StandardError.ReadToEndAsync();
        await process.WaitForExitAsync();
        return (process.ExitCode, said.Trim());
    }
}
