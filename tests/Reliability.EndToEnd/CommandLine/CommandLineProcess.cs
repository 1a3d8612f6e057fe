using System.Diagnostics;
using Xunit;

namespace Reliability.EndToEnd.CommandLine;

/// <summary>Runs the command line as a process of its own against a service.</summary>
internal static class CommandLineProcess
{
    // As it is built for users: beside these tests it would lack what here the web framework brings along. The build puts
    // it in a folder of the same configuration and framework.
    private static readonly string Program = Path.GetFullPath(Path.Combine(
        AppContext.BaseDirectory, "../../../../../src/Reliability.Cli/bin",
        Path.GetRelativePath(Path.Combine(AppContext.BaseDirectory, "../.."), AppContext.BaseDirectory), "reliability.dll"));

    /// <summary>Runs it to its end.</summary>
    public static async Task<(int ExitCode, string Out, string Error)> RunAsync(Uri address, params string[] arguments)
    {
        ProcessStartInfo start = new("dotnet",
            [Program, .. arguments, "--address", address.ToString()])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        using var process = Process.Start(start)!;
        var output = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var error = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (process.ExitCode, await output, await error);
    }
}
