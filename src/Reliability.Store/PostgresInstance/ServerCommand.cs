using System.Diagnostics;

namespace Reliability.Store.PostgresInstance;

/// <summary>One run of a program of the machine, its output caught for error messages.</summary>
internal static class ServerCommand
{
    /// <summary>Runs a program to its end. Output is standard output and error together, trimmed.</summary>
    public static async Task<(int ExitCode, string Output)> RunAsync(
        IEnumerable<string> command, CancellationToken cancellation)
    {
        var words = command.ToList();
        var start = new ProcessStartInfo(words[0], words.Skip(1))
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            RedirectStandardInput = true,
            // The server's account may not be allowed into the service's working folder.
            WorkingDirectory = "/",
        };
        // Messages are parsed by nobody, but people search the web for the English ones.
        start.Environment["LC_ALL"] = "C";
        using var process = Process.Start(start)
            ?? throw new PrivateClusterException($"The program {words[0]} cannot be started.");
        process.StandardInput.Close();
        var output = process.StandardOutput.ReadToEndAsync(cancellation);
        var error = process.StandardError.ReadToEndAsync(cancellation);
        await process.WaitForExitAsync(cancellation);
        return (process.ExitCode, (await output + await error).Trim());
    }

    /// <summary>Runs a program that must succeed.</summary>
    /// <exception cref="PrivateClusterException">It ended with another code than 0.</exception>
    public static async Task MustSucceedAsync(
        string purpose, IEnumerable<string> command, CancellationToken cancellation)
    {
        var (exitCode, output) = await RunAsync(command, cancellation);
        if (exitCode != 0)
            throw new PrivateClusterException($"{purpose} failed (exit code {exitCode}): {output}");
    }
}
