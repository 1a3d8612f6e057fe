using System.Diagnostics;
using System.Text.RegularExpressions;
using Reliability.EndToEnd.Running;
using Xunit;

namespace Reliability.EndToEnd.Readme;

/// <summary>A block of code on a page of the documentation.</summary>
/// <param name="Kind">What stands behind its opening fence, such as "sh".</param>
/// <param name="Lines">Its lines.</param>
internal sealed partial record ReadmeBlock(string Kind, IReadOnlyList<string> Lines)
{
    /// <summary>Its text.</summary>
    public string Text => string.Join('\n', Lines);

    /// <summary>The blocks of a page in order.</summary>
    public static IReadOnlyList<ReadmeBlock> Of(IEnumerable<string> page)
    {
        List<ReadmeBlock> blocks = [];
        List<string>? open = null;
        foreach (var line in page)
        {
            if (!line.StartsWith("```", StringComparison.Ordinal))
            {
                open?.Add(line);
            }
            else if (open is null)
            {
                open = [];
                blocks.Add(new ReadmeBlock(line[3..], open));
            }
            else
            {
                open = null;
            }
        }

        return blocks;
    }

    /// <summary>Holds the lines against an output: they must occur in it, in order; spaces and the lines of tables do not count.</summary>
    public void AssertShownIn(string output)
    {
        var text = Plain(output);
        var from = 0;
        foreach (var line in Lines.Select(Plain).Where(line => line.Length > 0))
        {
            var at = text.IndexOf(line, from, StringComparison.Ordinal);
            Assert.True(at >= 0, $"The page shows\n  {line}\nwhich the output does not have at that place:\n{output}");
            from = at + line.Length;
        }
    }

    // Runs of spaces and the lines that draw tables become one space.
    private static string Plain(string text) => Gaps().Replace(text, " ").Trim();

    /// <summary>Runs its commands in the folder of the repository, against a service if there is one already.</summary>
    public async Task<string> RunAsync(ServiceProcess? service = null)
    {
        var commands = service is null ? Text : Text
            .Replace("http://127.0.0.1:7080/", service.GrpcAddress.ToString(), StringComparison.Ordinal)
            .Replace("http://127.0.0.1:7081/", service.HttpAddress.ToString(), StringComparison.Ordinal);
        ProcessStartInfo start = new("bash", ["-euo", "pipefail", "-c", commands])
        {
            WorkingDirectory = Repository.Path(""),
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            Environment =
            {
                ["RELIABILITY_ADDRESS"] = service?.GrpcAddress.ToString() ?? "",
                ["MSBUILDDISABLENODEREUSE"] = "1",
                ["BUILT"] = "1",
            },
        };
        using var process = Process.Start(start)!;
        process.StandardInput.Close();
        var output = process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        var error = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(process.ExitCode == 0, $"{commands}\nended with {process.ExitCode}:\n{await error}\n{await output}");
        return await output;
    }

    [GeneratedRegex(@"[\s─]+")]
    private static partial Regex Gaps();
}
