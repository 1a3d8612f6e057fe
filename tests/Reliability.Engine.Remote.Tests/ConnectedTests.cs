using System.Diagnostics;
using Reliability.Engine.Abstractions;
using Xunit;

namespace Reliability.Engine.Remote.Tests;

/// <summary>A plug-in that others start, and that the host connects to.</summary>
public sealed class ConnectedTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("reliability-connected-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void It_is_taken_up_when_it_comes_and_told_of_when_it_has_gone()
    {
        var socket = Path.Combine(_folder, "socket");
        using var hosted = new Hosted(new RemotePlugInSettings { Id = "gompertz", Address = new Uri("unix:" + socket) });
        Assert.False(hosted.PlugIn.WaitUntilAvailable(TimeSpan.FromSeconds(1)));
        Assert.Contains("cannot be reached", hosted.PlugIn.Status.Reason, StringComparison.Ordinal);

        using var process = Start(socket);
        hosted.Up();
        Assert.True(hosted.LogSurvival(100) < 0);
        process.Kill();
        process.WaitForExit();
        Assert.Throws<LifeModelFailedException>(() => hosted.LogSurvival(100));
        Assert.False(hosted.PlugIn.Status.IsAvailable);
    }

    private static Process Start(string socket)
    {
        var start = new ProcessStartInfo(
            "dotnet", [Path.Combine(AppContext.BaseDirectory, "Reliability.PlugIns.Hostile.dll"), "gompertz", "none"]);
        start.Environment["RELIABILITY_PLUGIN_SOCKET"] = socket;
        return Process.Start(start)!;
    }
}
