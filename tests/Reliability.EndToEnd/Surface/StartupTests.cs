using System.Net;
using System.Net.Sockets;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Surface;

/// <summary>A configuration that cannot work ends the start with a clear message and exit code 2.</summary>
public sealed class StartupTests
{
    [Theory]
    [InlineData("--Endpoints:Http=http://0.0.0.0:7999", "Endpoints:Http", "loopback")]
    [InlineData("--Endpoints:Grpc=http://192.0.2.7:7998", "Endpoints:Grpc", "loopback")]
    [InlineData("--Endpoints:Grpc=http://[::]:7998", "Endpoints:Grpc", "loopback")]
    [InlineData("--Endpoints:Grpc=http://example.org:7998", "Endpoints:Grpc", "loopback")]
    [InlineData("--Endpoints:Grpc=seven", "Endpoints:Grpc", "must be an address")]
    [InlineData("--Endpoints:Http=http://127.0.0.1:7080", "Endpoints:Http", "different ports")]
    [InlineData("--Kestrel:Endpoints:Extra:Url=http://0.0.0.0:7997", "Kestrel:Endpoints", "Endpoints:Grpc")]
    [InlineData("--History:TimeZone=Mars/Olympus", "History:TimeZone", "IANA")]
    public async Task It_refuses_to_start_and_says_why(string setting, string key, string word)
    {
        var folder = TemporaryFolder.Create();
        var (exitCode, said) = await ServiceProcess.RunToEndAsync(setting, "--DataDirectory=" + folder);
        Directory.Delete(folder, recursive: true);

        Assert.Equal(2, exitCode);
        Assert.Contains(key, said, StringComparison.Ordinal);
        Assert.Contains(word, said, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", said, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_port_that_is_taken_is_told()
    {
        using var taken = new TcpListener(IPAddress.Loopback, 0);
        taken.Start();
        var folder = TemporaryFolder.Create();
        var (exitCode, said) = await ServiceProcess.RunToEndAsync(
            $"--Endpoints:Grpc=http://127.0.0.1:{((IPEndPoint)taken.LocalEndpoint).Port}", "--Endpoints:Http=http://127.0.0.1:0", "--DataDirectory=" + folder);
        Directory.Delete(folder, recursive: true);

        Assert.Equal(2, exitCode);
        // The store was up already, and what it was about is told above.
        var last = said.TrimEnd().Split('\n')[^1];
        Assert.Contains("already in use", last, StringComparison.Ordinal);
        Assert.Contains("Endpoints:Grpc", last, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_database_that_does_not_answer_is_told()
    {
        var (port, _) = FreePorts.Take();

        var (exitCode, said) = await ServiceProcess.RunToEndAsync(
            $"--ConnectionStrings:Reliability=Host=127.0.0.1;Port={port};Database=none;Username=nobody;Password=secret-word");

        Assert.Equal(2, exitCode);
        Assert.Contains("database", said, StringComparison.Ordinal);
        Assert.DoesNotContain("secret-word", said, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", said, StringComparison.Ordinal);
    }
}
